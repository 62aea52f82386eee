#!/bin/sh
# SPDX-License-Identifier: MIT
# coverage.sh [SHARE]: builds with gcov, runs the tests, prints the share of
# lines of lib/ that ran, file by file, least first; fails below SHARE per cent
# in all (95).
set -eu
cd "$(dirname "$0")/.."
share=${1:-95}
build=build/coverage
[ -f "$build/build.ninja" ] || meson setup "$build" -Dbuildtype=debug -Db_coverage=true >/dev/null
meson compile -C "$build" >"$build/compile.log" 2>&1 || {
    cat "$build/compile.log"
    exit 1
}
find "$build" -name '*.gcda' -delete
# the tests of failing memory end children in ways that lose their counts, and take long
meson test -C "$build" --no-rebuild --print-errorlogs --no-suite slow >"$build/test.log" 2>&1 || {
    tail -50 "$build/test.log"
    exit 1
}
# -n: no files; "File 'x'" then "Lines executed:P% of N"; the library is linked into shared and static form from the same objects
find "$build/lib" -name '*.gcno' | sort >"$build/notes"
xargs gcov -n <"$build/notes" 2>/dev/null |
    awk -F"'" '/^File/ { file = $2; next }
        /^Lines executed/ && file != "" { split($0, p, /[:% ]+/); print p[3], p[5], file; file = "" }' |
    sed 's, \(\.\./\)*lib/, lib/,' | grep ' lib/.*\.c$' | grep -v 'lib/tables/embed.c' | sort -k3 -u >"$build/files"
sort -n "$build/files" | awk '{ printf "%6.2f %% of %5d  %s\n", $1, $2, $3 }'
awk -v share="$share" '{ lines += $2; run += $1 * $2 / 100 }
    END { if (lines < 1000) { print "hardly any lines were found"; exit 1 }
          printf "%.2f %% of %d lines of lib/ ran, %s %% were asked for\n", 100 * run / lines, lines, share
          exit 100 * run / lines < share }' "$build/files"
