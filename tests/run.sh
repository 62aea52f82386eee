#!/bin/sh
# SPDX-License-Identifier: MIT
# Everything on a fresh Debian machine: installs what is missing, builds with
# gcc and clang, runs every test, also under ASan and UBSan, and compares the
# golden outputs of several builds byte by byte.
set -eu
cd "$(dirname "$0")/.."

packages='libxml2-dev libgsl-dev libinih-dev libjansson-dev libcmocka-dev gcc libc6-dev meson pkg-config
    g++ clang-tidy cppcheck valgrind
    clang libclang-rt-14-dev locales mandoc glpk-utils coinor-cbc
    librsvg2-bin netpbm strace chromium fonts-dejavu-core poppler-utils'
# A Node.js from elsewhere brings npm with it, and Debian's would not go beside it.
command -v node >/dev/null 2>&1 && command -v npm >/dev/null 2>&1 || packages="$packages nodejs npm"

missing=''
for package in $packages; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing="$missing $package"
done
if [ -n "$missing" ]; then
    echo "Installing:$missing"
    sudo=''
    [ "$(id -u)" -eq 0 ] || sudo=sudo
    $sudo apt-get update -qq
    # shellcheck disable=SC2086
    DEBIAN_FRONTEND=noninteractive $sudo apt-get install -y -qq --no-install-recommends $missing
fi

# A locale that writes 3,75: made in a folder of the build, not in the system.
mkdir -p build/locales
export LOCPATH="$PWD/build/locales"
[ -d build/locales/de_DE.UTF-8 ] || localedef -i de_DE -f UTF-8 "$LOCPATH/de_DE.UTF-8" || true
export HR_COMMA_LOCALE=de_DE.UTF-8

# leg NAME COMPILER TARGET SETUP-OPTIONS...: configures once, builds
leg() {
    name=$1
    compiler=$2
    target=$3
    shift 3
    [ -f "build/$name/build.ninja" ] || CC=$compiler meson setup "build/$name" -Dwerror=true "$@" >"build/$name.log" 2>&1 ||
        { cat "build/$name.log"; exit 1; }
    # shellcheck disable=SC2086
    meson compile -C "build/$name" $target >"build/$name.log" 2>&1 || { cat "build/$name.log"; exit 1; }
}

echo '== building: gcc, clang with ASan and UBSan, gcc -O0, clang -O2, fuzz targets'
leg gcc gcc '' -Dbuildtype=debugoptimized
leg sanitized clang '' -Dbuildtype=debugoptimized -Db_lundef=false -Db_sanitize=address,undefined \
    '-Dc_args=-fsanitize=float-cast-overflow -fno-sanitize-recover=all'
leg gcc-O0 gcc hallreach:executable -Dbuildtype=debug
leg clang clang hallreach:executable -Dbuildtype=release -Db_ndebug=false
sh tests/fuzz/run.sh build

echo '== gcc, -O2: every test'
meson test -C build/gcc --no-rebuild --print-errorlogs

echo '== clang, ASan and UBSan: every test'
ASAN_OPTIONS=detect_leaks=1:allocator_may_return_null=1 UBSAN_OPTIONS=print_stacktrace=1 \
    meson test -C build/sanitized --no-rebuild --print-errorlogs

# What follows uses one processor each: side by side, the longest first. Each
# one's words come when it is done. 77 means that a tool is absent, and says which.
echo '== side by side: goldens of other builds (same bytes), the page in a browser, valgrind, static checks, release archive, fuzz'
fuzz_targets=$(for f in tests/fuzz/fuzz_*.c; do basename "$f" .c | sed 's/^fuzz_//'; done)
{
    echo "$fuzz_targets" | xargs -n 5 echo 'sh tests/fuzz/run.sh 10'
    cat <<'EOF'
sh tests/browser/run.sh build/gcc/cli/hallreach
sh tests/house/tidy.sh build/gcc
sh tests/golden/run.sh build/gcc-O0/cli/hallreach
sh tests/faults/valgrind.sh build/gcc/cli/hallreach
sh tests/install/dist.sh build/gcc
sh tests/golden/run.sh build/clang/cli/hallreach
LC_ALL=de_DE.UTF-8 sh tests/golden/run.sh build/gcc/cli/hallreach
GLIBC_TUNABLES=glibc.cpu.hwcaps=-FMA,-AVX2,-FMA4 sh tests/golden/run.sh build/gcc/cli/hallreach
EOF
} >build/side-by-side
xargs -P "$(nproc)" -d '\n' -n 1 sh -c '
    log=$(mktemp)
    sh -c "$1" >"$log" 2>&1
    status=$?
    { echo "== $1"; grep -v "^ok - " "$log"; } || :
    rm -f "$log"
    [ "$status" -eq 0 ] || [ "$status" -eq 77 ] || { echo "not ok - $1: status $status"; exit 1; }' side <build/side-by-side

echo 'all tests passed'
