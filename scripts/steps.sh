# shellcheck shell=bash
# Sourced by the scripts that run many checks: each step is named, timed and
# run whatever became of the ones before, and the end says what failed.

step_passed=0
step_failed=()

# step NAME COMMAND... runs the command and remembers how it ended.
step() {
  local name=$1 began=$SECONDS
  shift
  printf '\n--- %s\n' "$name"
  if "$@"; then
    step_passed=$((step_passed + 1))
    printf -- '--- %s: ok, %ss\n' "$name" $((SECONDS - began))
  else
    step_failed+=("$name")
    printf -- '--- %s: FAILED, %ss\n' "$name" $((SECONDS - began))
    return 1
  fi
}

# cannot_run NAME WHY counts a step that an earlier failure made pointless.
cannot_run() {
  step_failed+=("$1")
  printf '\n--- %s: NOT RUN, %s\n' "$1" "$2"
}

# close_steps WORD ends the script: 0 if every step passed, 1 if not.
close_steps() {
  printf '\n'
  if [ ${#step_failed[@]} -gt 0 ]; then
    printf 'failed: %s\n' "${step_failed[@]}"
  fi
  printf '%s: %s passed, %s failed\n' "$1" "$step_passed" ${#step_failed[@]}
  [ ${#step_failed[@]} -eq 0 ]
}
