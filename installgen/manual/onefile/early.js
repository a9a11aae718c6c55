/* Before the pages are read in: from now on one of them is shown at a time. */
"use strict";

document.documentElement.classList.add("paged");
