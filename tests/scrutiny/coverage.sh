#!/usr/bin/env bash
# How many lines of the engine's floors the tests of those floors run: coverage.sh [BUILD] builds with gcov's counters in BUILD (a new
# folder by default), runs the tests and says it floor by floor. A line counts when it ran in any translation unit. Exit code 1 when the
# floors together stay below 90 %, or a test fails.
set -euo pipefail
root=$(cd "$(dirname "$0")/../.." && pwd)
build=${1:-$(mktemp -d)}
floors=(signal cutting listen tap rig advise trial)
cmake -S "$root" -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=None -DCMAKE_CXX_FLAGS="-O1 --coverage" -DCMAKE_UNITY_BUILD=OFF -DHUSHMILL_WARNINGS_AS_ERRORS=OFF >/dev/null
cmake --build "$build" --target "${floors[@]/#/test_}" >/dev/null
build=$(cd "$build" && pwd)
find "$build" -name '*.gcda' -delete
for floor in "${floors[@]}"; do
  echo "+ test_$floor"
  (cd "$build/tests/$floor" && "./test_$floor" | tail -n 2)
done
out=$(mktemp -d)
cd "$out"
find "$build/src" "$build/tests" -name '*.gcda' -print0 | xargs -0 gcov --preserve-paths --long-file-names --hash-filenames >/dev/null 2>&1
# Of each line the most that any unit counted: "count: line: text", where ##### is never and - is no code.
awk -F: -v floors="${floors[*]}" '
  FNR == 1 { file = "" }
  # Headers are reached by the floor links of the build; a compiler cache may have made the path relative.
  $2 + 0 == 0 && $3 == "Source" {
    if (match($4, /\/floors\/[a-z]+\//)) file = substr($4, RSTART + RLENGTH)
    else if (match($4, /\/src\/[a-z]+\/[a-z_0-9]+\.[ch]pp$/)) file = substr($4, RSTART + 5)
    next
  }
  file == "" || $2 + 0 == 0 { next }
  { count = $1; gsub(/[ *]/, "", count); if (count == "-") next
    key = file ":" $2 + 0; seen[key] = 1; if (count !~ /^[#=]/) ran[key] = 1 }
  END {
    wanted_count = split(floors, wanted, " ")
    for (key in seen) { split(key, part, "/"); all[part[1]]++; if (key in ran) hit[part[1]]++
      else { f = key; sub(/:.*/, "", f); missed[f]++ } }
    for (i = 1; i <= wanted_count; i++) { f = wanted[i]; total += all[f]; hits += hit[f]
      printf "%-8s %5d of %5d lines, %5.1f %%\n", f, hit[f], all[f], 100 * hit[f] / all[f] }
    printf "%-8s %5d of %5d lines, %5.1f %%\n", "all", hits, total, 100 * hits / total
    for (f in missed) { split(f, part, "/"); for (i = 1; i <= wanted_count; i++) if (part[1] == wanted[i] && missed[f] >= 5) print "not run: " missed[f] " lines of " f }
    exit !(hits >= 0.9 * total)
  }' ./*.gcov
