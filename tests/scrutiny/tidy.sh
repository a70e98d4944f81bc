#!/usr/bin/env bash
# clang-tidy with the checks of .clang-tidy over all of src: tidy.sh [BUILD]. A dozen files at a time, as a unity build puts them
# together, so that their headers are read once. Exit code 1 when anything is found.
set -euo pipefail
for tool in clang++ clang-tidy; do
  command -v "$tool" >/dev/null || { echo "tidy.sh: $tool is missing; apt-get install clang clang-tidy would be right" >&2; exit 1; }
done
root=$(cd "$(dirname "$0")/../.." && pwd)
build=${1:-$(mktemp -d)}
cmake -S "$root" -B "$build" -G Ninja -DCMAKE_UNITY_BUILD=ON -DCMAKE_EXPORT_COMPILE_COMMANDS=ON -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=None >/dev/null
cmake --build "$build" --target hushmill_build_name >/dev/null
sed -n 's/^ *"file": "\(.*\)".*$/\1/p' "$build/compile_commands.json" | grep -E '/src/' | sort -u >"$build/units"
[ -s "$build/units" ] || { echo "tidy.sh: no unit to look at" >&2; exit 1; }
echo "$(wc -l <"$build/units") units"
tr '\n' '\0' <"$build/units" | xargs -0 -n 1 -P "$(nproc)" clang-tidy -p "$build" --config-file="$root/.clang-tidy" --quiet 2>"$build/told" >"$build/found" || true
# A unit that needs what is not built says so in an error of its own; so does a check. A crash says it elsewhere.
if grep -E 'error:|warning:' "$build/found" | sort -u; then exit 1; fi
if grep -iE "stack dump|cannot open|terminated" "$build/told"; then exit 1; fi
echo "nothing found"
