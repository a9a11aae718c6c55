#!/bin/sh
# Sees that commands (or libraries) are there, and installs their Debian packages where that is
# allowed.
#
#     tools/system-packages.sh COMMAND=PACKAGE...
#
# As root, or where sudo asks for no password, apt-get brings what is missing; otherwise this says
# what to install and fails.
set -eu

present() {
    case $1 in
    venv) python3 -c 'import ensurepip, venv' 2>/dev/null ;;
    lib*) PATH=$PATH:/sbin ldconfig -p | grep -q "$1" ;;
    *) command -v "$1" >/dev/null 2>&1 ;;
    esac
}

packages=
for pair in "$@"; do
    present "${pair%%=*}" || packages="$packages ${pair#*=}"
done
[ -n "$packages" ] || exit 0

if ! command -v apt-get >/dev/null 2>&1; then
    echo "Missing; please install what your system calls:$packages" >&2
    exit 1
fi
if [ "$(id -u)" = 0 ]; then
    as_root=
elif sudo -n true 2>/dev/null; then
    as_root="sudo -n"
else
    echo "Missing, and only the administrator may install. Please run:" >&2
    echo "    sudo apt-get install$packages" >&2
    exit 1
fi

echo "Installing$packages with apt-get" >&2
log=$(mktemp)
trap 'rm -f "$log"' EXIT
install() {
    # shellcheck disable=SC2086 # several packages, and sudo or nothing
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends \
        $packages >"$log" 2>&1
}
# A fresh machine has no package lists yet, an old one stale ones.
if ! install; then
    $as_root apt-get update >"$log" 2>&1 && install || {
        cat "$log" >&2
        exit 1
    }
fi
