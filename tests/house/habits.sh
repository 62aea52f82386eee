#!/bin/sh
# SPDX-License-Identifier: MIT
# Habits that a reader would otherwise have to watch for: calls that follow
# the locale, oversized files, what stands at the root.
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
cd "$root" || exit 2
bad=0
complain() {
    echo "$1"
    bad=$((bad + 1))
}
found=$(grep -nE '\b(strtod|strtof|atof|atoi|atol|sscanf|setlocale|rand|srand|time|strcpy|strcat|sprintf|gets)\(' \
    lib/*/*.[ch] cli/*.[ch] | grep -v '^lib/base/number.c:.*strtod')
[ -z "$found" ] || complain "calls that do not belong here: $found"
found=$(grep -nE 'printf\([^;]*%[-+ #0-9.*]*l?[aAeEfFgG]' lib/*/*.[ch] cli/*.[ch] | grep -v '^lib/base/number.c:')
[ -z "$found" ] || complain "floating-point formats follow the locale, use hr_fixed: $found"
for file in lib/*/*.[ch] cli/*.[ch]; do
    lines=$(wc -l <"$file")
    [ "$lines" -le 600 ] || complain "$file has $lines lines, 600 at most"
    grep -q 'SPDX-License-Identifier: MIT' "$file" || complain "$file has no licence line"
done
for name in *; do
    case $name in
    README.md | DEVELOPERS.md | LICENSE | meson.build | lib | cli | tests | floorplans | reference | examples | build*) ;;
    *) complain "$name does not belong at the root" ;;
    esac
done
[ "$bad" -eq 0 ] && echo 'habits kept'
