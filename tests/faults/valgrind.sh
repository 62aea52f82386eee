#!/bin/sh
# SPDX-License-Identifier: MIT
# valgrind.sh COMMAND: the command lines of the four-room property under
# valgrind: nothing read that was not written, nothing left behind.
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
command=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
if ! command -v valgrind >/dev/null 2>&1; then
    echo '# skipped: valgrind is not installed'
    exit 0
fi
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp -R "$root/tests/golden/inputs" "$work/"
cp "$root"/tests/faults/inputs/* "$work/inputs/"
cd "$work" || exit 2
rows=0
bad=0
grep -v '^#' "$root/tests/faults/four-room.list" | sed 's/^[0-9]* //' >lines
while read -r words; do
    rows=$((rows + 1))
    rm -rf out && mkdir out
    # shellcheck disable=SC2086
    valgrind -q --error-exitcode=99 --leak-check=full --show-leak-kinds=definite,indirect,possible \
        --errors-for-leak-kinds=definite,indirect,possible "$command" $words >text 2>err </dev/null
    status=$?
    if [ "$status" -gt 3 ]; then
        echo "not ok - $words: status $status"
        head -40 err
        bad=$((bad + 1))
    fi
done <lines
echo "$rows command lines, $bad bad"
[ "$rows" -gt 20 ] && [ "$bad" -eq 0 ]
