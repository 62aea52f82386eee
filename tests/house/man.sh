#!/bin/sh
# SPDX-License-Identifier: MIT
# Manual pages are clean for mandoc, and each option of a command's help stands
# in its page and the other way round; every key of the key table stands in
# the property page.
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
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
# The limits of the formulas stand once, in the table that the code checks and that the page prints as RANGES.
page=$(sed -n '/^\.Sh RANGES/,/^\.Sh SEE/p' "$build"/cli/man/hallreach-model.7)
for limit in '800 to 1900 MHz' '0 to 80 degrees' '500 to 100000 MHz' '1 to 3' '0 to 5'; do
    printf '%s' "$page" | tr '\n' ' ' | grep -q "from $limit" || complain "hallreach-model: RANGES has no $limit"
done
again=$(grep -nE '800 to|1900 MHz|three walls|80 degrees' "$root/cli/man/model.mdoc" "$root"/lib/links/*.c "$root"/lib/siting/*.c)
[ -z "$again" ] || complain "limits written a second time: $again"
[ "$bad" -eq 0 ] && echo "$(echo "$pages" | wc -l) pages checked"
