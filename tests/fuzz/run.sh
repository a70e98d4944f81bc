#!/usr/bin/env bash
# Throws made-up input at every door and says how many times: run.sh BUILD [SHARE], where BUILD was configured with
#   cmake -S . -B BUILD -G Ninja -DCMAKE_UNITY_BUILD=ON -DCMAKE_BUILD_TYPE=None -DCMAKE_CXX_COMPILER=clang++ -DHUSHMILL_FUZZ=ON
# SHARE is a part of the executions below, 1 by default; HUSHMILL_FUZZ_ONLY="NAME NAME" picks targets, HUSHMILL_FUZZ_SEED another chance
# than 1, HUSHMILL_FUZZ_KEEP a folder in which what was found interesting stays for the next time. Targets that are not built are left out.
# Exit code 1 when one of them came to harm: its input then lies in the present folder as crash-, leak-, timeout- or oom-HASH.
set -euo pipefail
build=$(cd "$1" && pwd)
share=${2:-1}
here=$(cd "$(dirname "$0")" && pwd)
kept=${HUSHMILL_FUZZ_KEEP:-$(mktemp -d)}
# Files are written and read thousands of times a second: in memory where there is such a place.
[ -d /dev/shm ] && export TMPDIR=${TMPDIR:-/dev/shm}
export LSAN_OPTIONS="suppressions=$here/../../.ci/leaks:print_suppressions=0"

# Name, executions, longest input in bytes. Ten million in all, by what one costs: about two hours of one core.
targets="short_text 9600000 200
sheets 200000 1500
option_words 60000 400
recording 100000 6000
setup_files 20000 5000
journal_file 20000 32768
journal_values 6000 1200
last_time 6000 1500
command_line 3000 400
listener 100000 120
long_sound 2000 250
tap_test 2000 120"

harmed=0
all=0
while read -r name executions longest; do
  program=$build/tests/fuzz/fuzz_$name
  [[ -z "${HUSHMILL_FUZZ_ONLY:-}" || " $HUSHMILL_FUZZ_ONLY " == *" $name "* ]] || continue
  [ -x "$program" ] || { echo "$name: not built"; continue; }
  executions=$(awk -v n="$executions" -v share="$share" 'BEGIN { n = int(n * share); print (n > 20 ? n : 20) }')
  mkdir -p "$kept/$name"
  log=$kept/$name.log
  # A small input may neither take minutes nor a gigabyte.
  if ! "$program" -runs="$executions" -max_len="$longest" -seed="${HUSHMILL_FUZZ_SEED:-1}" -timeout=120 -rss_limit_mb=2048 -malloc_limit_mb=512 \
      -print_final_stats=1 -verbosity=1 "$kept/$name" "$here/corpus/$name" >"$log" 2>&1; then
    harmed=1
    echo "$name: came to harm"
    grep -E "^broken|ERROR|runtime error|SUMMARY|Test unit" "$log" || tail -n 20 "$log"
  fi
  done_now=$(sed -n 's/^stat::number_of_executed_units: *//p' "$log")
  all=$((all + ${done_now:-0}))
  echo "$name: ${done_now:-0} executions, $(sed -n 's/^stat::average_exec_per_sec: *//p' "$log") a second"
done <<<"$targets"
echo "all: $all executions"
exit "$harmed"
