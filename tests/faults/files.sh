#!/bin/sh
# SPDX-License-Identifier: MIT
# files.sh COMMAND FAULTY: full disks, closed pipes, folders one may not write
# to, interrupts: it is said, the status is right, nothing that was there is
# damaged and nothing half written stays. FAULTY is the command with writing calls that
# fail on demand (files.c).
set -u
root=${HR_SOURCE_ROOT:-$(cd "$(dirname "$0")/../.." && pwd)}
command=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
faulty=$(cd "$(dirname "$2")" && pwd)/$(basename "$2")
work=$(mktemp -d)
mounted=''
# shellcheck disable=SC2154
trap '[ -z "$mounted" ] || umount "$work/small"; chmod -R u+w "$work"; rm -rf "$work"' EXIT
cp -R "$root/examples" "$root/floorplans" "$root/tests/golden/inputs" "$work/"
cp "$root"/tests/faults/inputs/* "$work/inputs/"
cd "$work" || exit 2
checks=0
bad=0
complain() {
    echo "not ok - $1"
    bad=$((bad + 1))
}

# expect NAME STATUS WORDS: of the last command, its words in the file err; WORDS empty: nothing was said
expect() {
    got=$?
    checks=$((checks + 1))
    [ "$got" -eq "$2" ] || complain "$1: status $got, expected $2: $(head -3 err)"
    if [ -n "$3" ]; then
        grep -q "$3" err || complain "$1: does not say \"$3\" but: $(head -3 err)"
    else
        [ ! -s err ] || complain "$1: says $(head -3 err)"
    fi
}
# untouched NAME FOLDER: the file old.txt in there is as it was, and the only one
untouched() {
    checks=$((checks + 1))
    [ "$(cat "$2/old.txt")" = 'what stood here' ] || complain "$1: an existing file was damaged"
    [ "$(ls -A "$2")" = old.txt ] || complain "$1: left behind: $(ls -A "$2")"
}
fresh() {
    rm -rf out
    mkdir out
    echo 'what stood here' >out/old.txt
}

# ---- every report of the list of command lines that goes to standard output ----
grep -v '^#' "$root/tests/faults/four-room.list" | sed 's/^[0-9]* //' | grep -v ' out/' | grep -vE 'nowhere|wrong|frequenzy' >lines
lines=0
while read -r words; do
    lines=$((lines + 1))
    # shellcheck disable=SC2086
    "$command" $words --quiet >/dev/full 2>err
    expect "full: $words" 4 'standard output: cannot be written: No space left on device'
    # a reader that leaves before anything is written
    # shellcheck disable=SC2086
    { sleep 0.1; "$command" $words --quiet 2>err; echo $? >status; } | :
    (exit "$(cat status)")
    expect "pipe: $words" 4 ''
    # shellcheck disable=SC2086
    "$command" $words --quiet >&- 2>err
    expect "closed: $words" 4 'standard output: cannot be written: Bad file descriptor'
done <lines
[ "$lines" -gt 15 ] || complain 'hardly any command lines were found'
for words in --help --version 'help place'; do
    # shellcheck disable=SC2086
    "$command" $words >/dev/full 2>err
    expect "full: $words" 4 ''
done

# ---- output files ----
write='place --quiet --csv inputs/four.ini --output'
for fault in write-EIO write-ENOSPC fsync-EIO fsync-ENOSPC rename-EIO; do
    reason='Input/output error'
    [ "${fault#*-}" = EIO ] || reason='No space left on device'
    for name in old.txt new.txt; do
        fresh
        # shellcheck disable=SC2086
        HR_FAULT=$fault "$faulty" $write out/$name 2>err
        expect "$fault, $name" 4 "out/$name: cannot be written: $reason"
        untouched "$fault, $name" out
    done
done
# shellcheck disable=SC2086
"$command" $write good.txt || complain 'no file with nothing failing'
for fault in none write-short; do
    fresh
    # shellcheck disable=SC2086
    HR_FAULT=$fault "$faulty" $write out/old.txt 2>err
    expect "$fault" 0 ''
    cmp -s out/old.txt good.txt || complain "$fault: another file"
    [ "$(ls -A out)" = old.txt ] || complain "$fault: left behind: $(ls -A out)"
done

# a limit on the size of files
for name in old.txt new.txt; do
    fresh
    (ulimit -f 1 && exec "$command" read --quiet --json --output out/$name examples/tern-house.ini) 2>err
    expect "limit on size, $name" 4 "out/$name: cannot be written: File too large"
    untouched "limit on size, $name" out
done

# a signal at the worst moments
for fault in write-INT fsync-INT rename-INT fsync-TERM; do
    for name in old.txt new.txt; do
        fresh
        # shellcheck disable=SC2086
        HR_FAULT=$fault "$faulty" $write out/$name 2>err
        expect "$fault, $name" 130 ''
        untouched "$fault, $name" out
    done
done
# drawings one after the other: the first may stand, whole, nothing else
fresh
HR_FAULT=fsync-INT "$faulty" read --quiet --drawing out/%s.svg examples/tern-house.ini >text 2>err
expect 'drawing, fsync-INT' 130 ''
untouched 'drawing, fsync-INT' out

# an outline that cannot be finished takes back what it has written
for after in 0 1 2; do
    fresh
    HR_FAULT_AFTER=$after HR_FAULT=fsync-ENOSPC "$faulty" outline --rooms-per-storey 8 --storeys 2 --output out/made.ini 2>err
    expect "outline, file $after" 4 'cannot be written: No space left on device'
    untouched "outline, file $after" out
done

# ---- folders ----
for place in nowhere/new.txt inputs/four.ini/new.txt /proc/new.txt; do
    # shellcheck disable=SC2086
    "$command" $write $place 2>err
    expect "$place" 4 "$place: cannot be written: "
done
"$command" read --quiet --drawing nowhere/%s.svg inputs/four.ini >text 2>err
expect 'drawing into nowhere' 4 'nowhere/1.svg: cannot be written: No such file or directory'
[ ! -s text ] || complain 'drawing into nowhere: prints its report all the same'
# shellcheck disable=SC2086
"$command" $write inputs 2>err
expect 'a folder' 4 'inputs: is a folder, a file name was expected'

nobody=''
[ "$(id -u)" -ne 0 ] || nobody='setpriv --reuid 65534 --regid 65534 --clear-groups'
if [ -z "$nobody" ] || command -v setpriv >/dev/null 2>&1; then
    chmod 755 "$work"
    fresh
    chmod 555 out
    # shellcheck disable=SC2086
    $nobody "$command" $write out/new.txt 2>err
    expect 'a folder one may not write to' 4 'out/new.txt: cannot be written: Permission denied'
    untouched 'a folder one may not write to' out
    chmod 777 out
    chmod 444 out/old.txt
    # shellcheck disable=SC2086
    $nobody "$command" $write out/old.txt 2>err
    expect 'a file one may not write to' 4 'out/old.txt: cannot be written: Permission denied'
    untouched 'a file one may not write to' out
else
    echo '# skipped: root without setpriv: folders one may not write to'
fi

# ---- a disk that is really full ----
mkdir small
if [ "$(id -u)" -eq 0 ] && mount -t tmpfs -o size=8k none small 2>/dev/null; then
    mounted=yes
    echo 'what stood here' >small/old.txt
    for name in old.txt new.txt; do
        "$command" read --quiet --json examples/tern-house.ini --output small/$name 2>err
        expect "full disk, $name" 4 "small/$name: cannot be written: No space left on device"
        untouched "full disk, $name" small
    done
    "$command" outline --rooms-per-storey 60 --storeys 3 --output small/made.ini 2>err
    expect 'full disk, outline' 4 'cannot be written: No space left on device'
    untouched 'full disk, outline' small
else
    echo '# skipped: a small disk can be mounted by root only'
fi

# ---- an interrupt in the middle of a long run ----
"$command" outline --quiet --rooms-per-storey 120 --storeys 40 --output long.ini || complain 'no long run'
for signal in INT TERM; do
    fresh
    "$command" place --quiet long.ini --output out/old.txt >text 2>err &
    child=$!
    sleep 0.5
    kill -s $signal $child || complain 'the long run was none'
    wait $child
    expect "interrupted by $signal" 130 ''
    untouched "interrupted by $signal" out
    [ ! -s text ] || complain "interrupted by $signal: printed something"
done

echo "$checks checks, $bad failed"
[ "$bad" -eq 0 ] && [ "$checks" -gt 80 ]
