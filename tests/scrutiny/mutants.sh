#!/usr/bin/env bash
# Do the tests notice when a decision of the detector is wrong? mutants.sh [BUILD [LIST]] plants each mutant of mutants.txt, or of LIST, one at a time, in a
# copy of the tree, builds and runs test_listen, and says which test noticed. BUILD (a new folder by default) keeps copy and objects for
# the next time. Exit code 1 when a mutant lives, or its place in the code is not there any more.
set -euo pipefail
root=$(cd "$(dirname "$0")/../.." && pwd)
work=${1:-$(mktemp -d)}
list=$(realpath "${2:-$root/tests/scrutiny/mutants.txt}")
mkdir -p "$work/tree"
work=$(cd "$work" && pwd)
fresh() { (cd "$root" && tar -cf - CMakeLists.txt LICENSE config src tests third_party README.md) | tar -xf - -C "$work/tree"; }
fresh
cmake -S "$work/tree" -B "$work/build" -G Ninja -DCMAKE_BUILD_TYPE=None -DCMAKE_CXX_FLAGS=-O1 -DHUSHMILL_WARNINGS_AS_ERRORS=OFF >"$work/log" 2>&1
build() { cmake --build "$work/build" --target test_listen >>"$work/log" 2>&1; }
tried() { "$work/build/tests/listen/test_listen" --abort >"$work/told" 2>&1; }
build || { tail -n 20 "$work/log" >&2; exit 1; }
tried || { echo "the tests fail without any mutant" >&2; exit 1; }

planted=0 alive=0
while read -r file; do
  [ -n "$file" ] && [ "${file:0:1}" != "#" ] || continue
  read -r before
  read -r after || true
  before=${before#- } after=${after#+}
  after=${after# }
  text=$(cat "$root/$file"; echo .)
  text=${text%.}
  rest=${text#*"$before"}
  if [ "$rest" = "$text" ] || [ "${rest#*"$before"}" != "$rest" ]; then
    echo "$file: not there once: $before"
    alive=$((alive + 1))
    continue
  fi
  planted=$((planted + 1))
  printf '%s%s%s' "${text%%"$before"*}" "$after" "$rest" >"$work/tree/$file"
  what="$(basename "$file"): ${before:0:60} -> ${after:0:60}"
  if ! build; then
    echo "NOT BUILT $what"
    alive=$((alive + 1))
  elif tried; then
    echo "ALIVE     $what"
    alive=$((alive + 1))
  else
    echo "killed    $what | $(grep -m1 -oE '[a-z_]+\.cpp:[0-9]+: FAILED' "$work/told" || tail -n 1 "$work/told")"
  fi
  cp "$root/$file" "$work/tree/$file"
done <"$list"
echo "$planted mutants planted, $((planted - alive)) killed"
exit "$((alive > 0))"
