#!/usr/bin/env bash
# clang-tidy with the checks of .clang-tidy over all of src: tidy.sh [BUILD]. A dozen files at a time, as a unity build puts them
# together, so that their headers are read once. Exit code 1 when anything is found.
set -euo pipefail
root=$(cd "$(dirname "$0")/../.." && pwd)
build=${1:-$(mktemp -d)}
cmake -S "$root" -B "$build" -G Ninja -DCMAKE_UNITY_BUILD=ON -DCMAKE_EXPORT_COMPILE_COMMANDS=ON -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=None >/dev/null
cmake --build "$build" --target hushmill_build_name >/dev/null
sed -n 's/^ *"file": "\(.*\)".*$/\1/p' "$build/compile_commands.json" | grep -E '/src/' | sort -u >"$build/units"
echo "$(wc -l <"$build/units") units"
tr '\n' '\0' <"$build/units" | xargs -0 -n 1 -P "$(nproc)" clang-tidy -p "$build" --config-file="$root/.clang-tidy" --quiet 2>/dev/null >"$build/found" || true
# A unit that needs what is not built says so in an error of its own; so does a check.
if grep -E 'error:|warning:' "$build/found" | sort -u; then exit 1; fi
echo "nothing found"
