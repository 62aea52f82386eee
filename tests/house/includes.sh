#!/bin/sh
# SPDX-License-Identifier: MIT
# Every #include of a module's file names its own module or one that
# lib/meson.build lets it use; foreign headers stay with their owner.
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
cd "$root/lib" || exit 2
rows=$(sed -n "s/^  \['\([a-z]*\)', \[\(.*\)\], \[\(.*\)\]\],\$/\1|\2|\3/p" meson.build)
bad=0
checked=0
modules=''
for row in $(echo "$rows" | tr -d " '"); do
    module=${row%%|*}
    rest=${row#*|}
    uses=$(echo "${rest%%|*}" | tr ',' ' ')
    owned=${rest##*|}
    modules="$modules $module"
    for file in "$module"/*.[ch]; do
        for header in $(sed -n 's/^#include "\(.*\)"/\1/p' "$file"); do
            checked=$((checked + 1))
            case $header in
            hr_limits.h) owner=base ;;
            hr_*.h) owner=${header#hr_} && owner=${owner%.h} ;;
            *) owner=$module && [ -f "$module/$header" ] || owner="(no such header)" ;;
            esac
            case " $module $uses " in
            *" $owner "*) ;;
            *) echo "$file includes $header: $module may use only: $uses" && bad=$((bad + 1)) ;;
            esac
        done
        for pair in gsl:gsl/ libxml:libxml/ inih:ini.h jansson:jansson.h; do
            name=${pair%%:*}
            if grep -q "^#include <${pair#*:}" "$file" && [ "$owned" != "$name" ]; then
                echo "$file includes a header of $name, which it does not own" && bad=$((bad + 1))
            fi
        done
    done
done
for folder in */; do
    case "$modules " in
    *" ${folder%/} "*) ;;
    *) echo "lib/$folder is not in the list of lib/meson.build" && bad=$((bad + 1)) ;;
    esac
done
echo "$checked includes checked"
[ "$bad" -eq 0 ] && [ "$checked" -gt 50 ]
