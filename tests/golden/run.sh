#!/bin/sh
# SPDX-License-Identifier: MIT
# run.sh COMMAND [--update]: runs every golden case and compares its output.
#
# NAME.case holds: "# why the case is there", then "status N", then the shell
# words after `hallreach` (run in tests/golden/work, a copy of the examples and
# the cases' own inputs). NAME.out and NAME.err hold standard output and error.
set -u
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
command=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
update=${2:-}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -R "$root/examples" "$root/floorplans" "$work/"
[ -d "$here/inputs" ] && cp -R "$here/inputs" "$work/"
cd "$work" || exit 2

cases=0
bad=0
for case in "$here"/*.case; do
    name=$(basename "$case" .case)
    cases=$((cases + 1))
    why=$(sed -n 's/^# *//p;1q' "$case")
    status=$(sed -n 's/^status //p' "$case")
    words=$(sed -n '/^status /,$p' "$case" | sed 1d)
    if [ -z "$why" ] || [ -z "$status" ]; then
        echo "not ok - $name: needs a first line saying why it is there, and a status"
        bad=$((bad + 1))
        continue
    fi
    (eval "\"$command\" $words") >out 2>err </dev/null
    got=$?
    if [ "$update" = --update ]; then
        cp out "$here/$name.out"
        cp err "$here/$name.err"
    fi
    if [ "$got" -ne "$status" ]; then
        echo "not ok - $name: exit status $got, expected $status ($why)"
        bad=$((bad + 1))
    elif ! cmp -s out "$here/$name.out" || ! cmp -s err "$here/$name.err"; then
        echo "not ok - $name: output differs ($why)"
        diff "$here/$name.out" out | head -20
        diff "$here/$name.err" err | head -20
        bad=$((bad + 1))
    else
        echo "ok - $name"
    fi
done
# 4 and 130 need faults: tests/faults/files.sh
for status in 0 1 2 3; do
    grep -qx "status $status" "$here"/*.case || {
        echo "not ok - no case ends with exit status $status"
        bad=$((bad + 1))
    }
done
echo "$((cases - bad)) passed, $bad failed"
[ "$bad" -eq 0 ] && [ "$cases" -gt 0 ]
