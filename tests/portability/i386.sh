#!/bin/sh
# SPDX-License-Identifier: MIT
# i386.sh [FOLDER]: builds for 32-bit x86, arithmetic by SSE, in a Debian of its own under FOLDER (build/i386; made on
# the first run, some 700 MB, root only), and runs there every test of the suite that needs no 64-bit tool, the golden
# cases byte for byte among them. Not part of tests/run.sh. Ends with 77 and a word where it cannot run.
set -eu
cd "$(dirname "$0")/../.."
folder=${1:-build/i386}
[ "$(id -u)" -eq 0 ] || { echo 'skipped: debootstrap and chroot need root'; exit 77; }
command -v debootstrap >/dev/null 2>&1 || { echo 'skipped: debootstrap is not installed'; exit 77; }
packages=libxml2-dev,libgsl-dev,libinih-dev,libjansson-dev,libcmocka-dev,gcc,g++,libc6-dev,meson,pkg-config,locales,mandoc
if [ ! -f "$folder/ready" ]; then
    rm -rf "$folder"
    mkdir -p "$folder"
    debootstrap --arch=i386 --variant=minbase --include=$packages bookworm "$folder" http://deb.debian.org/debian >"$folder.log" 2>&1 || {
        tail -20 "$folder.log"
        exit 1
    }
    touch "$folder/ready"
fi
rm -rf "$folder/hallreach"
mkdir "$folder/hallreach"
git ls-files -z | xargs -0 tar -cf - | tar -xf - -C "$folder/hallreach"
# the proc of the machine, for what asks how many processors there are
mount -t proc proc "$folder/proc" 2>/dev/null || true
trap 'umount "$folder/proc" 2>/dev/null || true' EXIT
setarch i386 chroot "$folder" /bin/sh -ec '
    cd /hallreach
    export LC_ALL=C.UTF-8
    CFLAGS="-msse2 -mfpmath=sse" meson setup build -Dbuildtype=debugoptimized -Dwerror=true >/setup.log || { cat /setup.log; exit 1; }
    meson compile -C build >/compile.log || { cat /compile.log; exit 1; }
    meson test -C build --no-rebuild --print-errorlogs --no-suite slow'
