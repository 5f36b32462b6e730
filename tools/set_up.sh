#!/bin/sh
# Make .venv and install the pinned packages of the groups named: run build dev docs.
# Needs only Python 3.11 or newer. $PYTHON, when set, names the interpreter to use. Once the build
# group is there, Redstave itself is installed from src/, so that a change to it takes effect at once.
set -eu
cd "$(dirname "$0")/.."

say() { printf '%s\n' "$*" >&2; }

new_enough() { "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; }

find_python() {
    for name in ${PYTHON:-python3 python3.13 python3.12 python3.11}; do
        if new_enough "$name"; then
            command -v "$name"
            return
        fi
    done
    say "Redstave needs Python 3.11 or newer and found none (${PYTHON:-python3} is older or missing)."
    say "On Debian 12 or later type:  sudo apt-get install python3 python3-venv"
    return 1
}

# Debian keeps the part of Python that fills a new environment in a package of its own.
can_make_venv() { "$1" -c 'import venv, ensurepip' 2>/dev/null; }

get_venv_package() {
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        say "Python cannot make environments here yet: installing Debian's python3-venv."
        apt-get update -qq >&2
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq python3-venv >&2
    fi
    can_make_venv "$1" && return
    say "Python cannot make environments here. On Debian type:  sudo apt-get install python3-venv"
    return 1
}

# What pip cannot bring: Pango draws the PDF of the letter; the tests also want a browser, the
# tools that read a PDF back, and a database server.
debian_packages() {
    case $1 in
        run) echo libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-noto-core ;;
        dev) echo chromium poppler-utils postgresql ;;
    esac
}

get_debian_packages() {
    command -v dpkg-query >/dev/null || return 0
    wanted=
    for package in $(debian_packages "$1"); do
        dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q "ok installed" || wanted="$wanted $package"
    done
    [ -n "$wanted" ] || return 0
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        say "Installing from Debian:$wanted."
        # shellcheck disable=SC2086
        if apt-get update -qq >&2 && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $wanted >&2; then
            return 0
        fi
    fi
    say "Not on this machine:$wanted. Without them some things are left out, and it will be said which."
    say "On Debian type:  sudo apt-get install$wanted"
}

if ! [ -x .venv/bin/pip ]; then
    python=$(find_python)
    can_make_venv "$python" || get_venv_package "$python"
    say "Making .venv with $("$python" --version)."
    "$python" -m venv --clear .venv
fi

for group in "$@"; do
    get_debian_packages "$group"
    say "Installing the packages of requirements/$group.txt (the first time this takes a minute or two)."
    .venv/bin/pip install --quiet --disable-pip-version-check -r "requirements/$group.txt"
    if [ "$group" = build ]; then
        .venv/bin/pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
    fi
done
