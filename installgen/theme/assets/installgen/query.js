/* What a reader looks for: words, and values with a unit however either side wrote it. */
"use strict";

window.installgenQuery = (() => {
  const fold = (text) =>
    text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().replace(/\s+/g, " ").trim();

  /* No look-behind: an older telephone that cannot read it would read none of this. */
  const BEFORE_WORD = String.raw`(^|[^\p{L}\p{N}])`;
  const BEFORE_NUMBER = String.raw`(^|[^\p{L}\p{N}.,/])`;
  /* A torque has a dot within its unit; a reader types a space there, or nothing. */
  const NUMBER = String.raw`(\d(?:[\d.,/-]*\d)?)`;
  const NEWTON_METRE = String.raw`(n ?[·.]? ?m)`;
  const POUND_FOOT = String.raw`(lbf? ?[·.-]? ?ft|ft ?[·.-]? ?lbf?)`;
  const OTHER =
    "(mm2?|cm2?|m[23]?|in|ft|nmi|kn|mv|v|ma|ah|a|kw|w|hp|kpa|mpa|psi|ml|l|kg|g|lb|rpm|hz|min|s|h" +
    "|°c|°f|°|k|%)";
  const END = String.raw`(?![\p{L}\p{N}])`;
  const VALUE = new RegExp(
    `${BEFORE_NUMBER}${NUMBER} ?(?:${NEWTON_METRE}|${POUND_FOOT}|${OTHER})${END}`,
    "gu",
  );

  const literal = (text) => text.replace(/[\\^$.*+?()[\]{}|/]/g, String.raw`\$&`);
  const term = (text, start) => ({
    within: new RegExp(literal(text), "u"),
    starts: new RegExp(`${start}${literal(text)}`, "u"),
    whole: new RegExp(`${start}${literal(text)}${END}`, "u"),
  });

  /* terms: a word is found within longer ones too, a value only as itself
     plain: the same for an index of single words, in which units of one letter are everywhere */
  const read = (text) => {
    const values = [];
    const plain = fold(text).replace(VALUE, (_, before, number, newton, pound, other) => {
      const unit = newton ? "n·m" : pound ? "lbf·ft" : other;
      const { whole } = term(`${number} ${unit}`, BEFORE_NUMBER);
      values.push({ within: whole, starts: whole, whole });
      return before + (other ? number : `${number} ${unit}`);
    });
    const words = fold(text).replace(VALUE, " ").split(/[\s"+*~^:()]+/).filter(Boolean);
    const terms = words.map((word) => term(word, BEFORE_WORD));
    return { terms: [...terms, ...values], plain: values.length ? plain : text };
  };

  const grade = ({ within, starts, whole }, text) =>
    whole.test(text) ? 1 : starts.test(text) ? 0.75 : within.test(text) ? 0.5 : 0;
  const share = (terms, text) =>
    terms.reduce((sum, one) => sum + grade(one, text), 0) / (terms.length || 1);

  /* How much of what is looked for stands in the title, and in title and text together: 0 to 2. */
  const worth = (terms, title, text) => share(terms, title) + share(terms, `${title} ${text}`);

  const missing = (terms, text) => terms.filter(({ within }) => !within.test(text)).length;

  return { fold, read, worth, missing };
})();
