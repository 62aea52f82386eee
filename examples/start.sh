#!/bin/sh
# SPDX-License-Identifier: MIT
# Everything for a first look on a fresh Debian machine: installs what is
# missing, builds, and places gateways in an example property.
set -eu
cd "$(dirname "$0")/.."

packages='libxml2-dev libgsl-dev libinih-dev libjansson-dev libcmocka-dev gcc libc6-dev meson pkg-config'

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

[ -f build/build.ninja ] || meson setup build >/dev/null
meson compile -C build >build/compile.log 2>&1 || { cat build/compile.log; exit 1; }

echo '$ build/cli/hallreach place examples/tern-house.ini'
# status 1 means that some devices are not served: the table says which and why
build/cli/hallreach place examples/tern-house.ini || [ $? -eq 1 ]
