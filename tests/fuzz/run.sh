#!/bin/sh
# SPDX-License-Identifier: MIT
# run.sh [SECONDS] [TARGET ...]: fuzzes each target with clang's libFuzzer under
# ASan and UBSan, ten seconds by default, from a fixed seed so that a run can be repeated. Objects are kept in build/fuzz. What
# is found lands in build/fuzz/found; move it to tests/fuzz/corpus/TARGET once
# it is mended. `run.sh build` makes the objects only, so that several runs may go on from there side by side.
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-10}
[ $# -eq 0 ] || shift
targets=${*:-$(for f in tests/fuzz/fuzz_*.c; do basename "$f" .c | sed 's/^fuzz_//'; done)}

out=build/fuzz
mkdir -p "$out/objects" "$out/found"
flags="-std=c11 -O1 -g -fno-omit-frame-pointer -ffp-contract=off -D_POSIX_C_SOURCE=200809L -DHR_VERSION=\"fuzz\"
    -fsanitize=address,undefined,float-cast-overflow -fno-sanitize-recover=all"
includes=$(for d in lib/*/; do printf ' -I%s' "$d"; done)
foreign="$(pkg-config --cflags libxml-2.0 gsl inih jansson)"
libs="$(pkg-config --libs libxml-2.0 gsl inih jansson) -lm"

data=$out/tables_data.c
# in files of its own and moved when other than before: runs go on side by side
made=$(mktemp -d)
cc -std=c11 -D_POSIX_C_SOURCE=200809L -o "$made/embed" lib/tables/embed.c
"$made/embed" "$made/data.c" reference/*.csv
cmp -s "$made/data.c" "$data" || mv "$made/data.c" "$data"
rm -rf "$made"

objects=''
command_objects='' # of the command: for the target that reads its arguments
: >"$out/stale"
for source in lib/*/*.c cli/*.c "$data"; do
    case $source in lib/tables/embed.c | cli/main.c | cli/memory.c) continue ;; esac
    object=$out/objects/$(echo "$source" | tr '/' '-').o
    if [ ! -f "$object" ] || [ -n "$(find lib cli "$source" -newer "$object" -name '*.[ch]' -print -quit)" ]; then
        printf '%s %s\n' "$source" "$object" >>"$out/stale"
    fi
    case $source in
    cli/*) command_objects="$command_objects $object" ;;
    *) objects="$objects $object" ;;
    esac
done
export fuzz_flags="$flags -fsanitize=fuzzer-no-link $includes $foreign"
xargs -r -P "$(nproc)" -L 1 sh -c 'clang $fuzz_flags -c "$1" -o "$2"' compile <"$out/stale" >"$out/compile.log" 2>&1 || {
    cat "$out/compile.log"
    exit 1
}
[ "$seconds" != build ] || exit 0

for target in $targets; do
    also=''
    [ "$target" != arguments ] || also=$command_objects
    # shellcheck disable=SC2086
    clang $flags -fsanitize=fuzzer $includes $foreign "tests/fuzz/fuzz_$target.c" $also $objects $libs -o "$out/fuzz_$target"
    mkdir -p "$out/corpus/$target"
    echo "== $target, $seconds s"
    "$out/fuzz_$target" -seed=1 -max_total_time="$seconds" -timeout=10 -rss_limit_mb=2048 -verbosity=0 -print_final_stats=1 \
        -artifact_prefix="$out/found/$target-" "$out/corpus/$target" "tests/fuzz/corpus/$target" 2>&1 |
        grep -E 'ERROR|SUMMARY|Test unit|number_of_executed_units' || true
    if ls "$out/found/$target-"* >/dev/null 2>&1; then
        echo "not ok - fuzz $target: see $out/found"
        exit 1
    fi
done
