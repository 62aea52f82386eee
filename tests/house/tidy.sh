#!/bin/sh
# SPDX-License-Identifier: MIT
# tidy.sh BUILD: cppcheck over lib/ and cli/, and clang-tidy by .clang-tidy with
# the compile commands of BUILD. Clean or it fails. ANALYSE=yes adds clang's analyzer, which takes minutes.
set -u
cd "$(dirname "$0")/../.." || exit 2
build=$1
bad=0
includes=$(for d in lib/*/; do printf ' -I%s' "$d"; done)
if command -v cppcheck >/dev/null 2>&1; then
    # suppressed where looked at: the index is that of a counted loop, the later check is about something else
    # shellcheck disable=SC2086
    cppcheck -j2 --std=c11 --enable=warning,portability,performance --inline-suppr --error-exitcode=1 -q $includes -Icli \
        -DHR_VERSION='"0"' -DATOMIC_INT_LOCK_FREE=2 \
        --suppress=arrayIndexThenCheck:lib/building/lists.c --suppress=arrayIndexThenCheck:lib/placement/capacity.c \
        lib cli || bad=1
else
    echo '# skipped: cppcheck is not installed'
fi
if command -v clang-tidy >/dev/null 2>&1; then
    checks='-clang-analyzer-*'
    [ "${ANALYSE:-no}" = no ] || checks=''
    ls lib/*/*.c cli/*.c | grep -v lib/tables/embed.c |
        xargs -P 2 -n 12 clang-tidy -p "$build" --quiet ${checks:+--checks="$checks"} 2>"$build/tidy.log" || bad=1
else
    echo '# skipped: clang-tidy is not installed'
fi
[ "$bad" -eq 0 ] && echo 'tidy'
