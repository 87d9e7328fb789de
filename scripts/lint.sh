#!/usr/bin/env bash
# Every check of the source that needs no running program. All are run, then
# the end says which failed. The rules of who may import whom are Go tests, in
# internal/lint.
set -euo pipefail
cd "$(dirname "$0")/.."
. scripts/steps.sh

# The go command leaves folders called testdata out of "./...".
packages=(./... ./internal/testdata)

# sources PATTERN... lists the files of the project, committed or about to be.
sources() {
  git ls-files --cached --others --exclude-standard --deduplicate -- "$@" |
    while read -r name; do
      if [ -f "$name" ]; then echo "$name"; fi
    done
}

formatted() {
  local odd
  odd=$(sources '*.go' | xargs gofmt -l) || return 1
  [ -z "$odd" ] || { echo "not formatted, run make fmt:"; echo "$odd"; return 1; }
}

documented() {
  local bare
  local ask='{{if and .GoFiles (not .Doc)}}{{.ImportPath}}{{end}}'
  bare=$(go list -f "$ask" "${packages[@]}" && go -C tools list -f "$ask" ./...) || return 1
  [ -z "$bare" ] || { echo "no package comment:"; echo "$bare"; return 1; }
}

tidy() { go mod tidy -diff && go -C tools mod tidy -diff; }

# one_templ: code made by one version must not run on another.
one_templ() {
  local runs makes
  runs=$(go list -m github.com/a-h/templ) && makes=$(go -C tools list -m github.com/a-h/templ) || return 1
  [ "$runs" = "$makes" ] || { echo "the program has $runs, tools/ has $makes"; return 1; }
}

# templates: makes the templates again in a copy, and compares.
templates() {
  local copy bad=0 name
  copy=$(mktemp -d) || return 1
  mkdir "$copy/internal" && cp go.mod "$copy"
  sources '*.templ' | xargs -r cp --parents -t "$copy"
  templ_in "$copy" generate >"$copy/log" 2>&1 || { cat "$copy/log"; bad=1; }
  for name in $( (sources '*_templ.go' && cd "$copy" && find internal -name '*_templ.go') | sort -u); do
    cmp -s "$name" "$copy/$name" || { echo "$name is not what its template makes, run make generate"; bad=1; }
  done
  templ_in "$copy" fmt . >"$copy/log" 2>&1 || { cat "$copy/log"; bad=1; }
  for name in $(sources '*.templ'); do
    cmp -s "$name" "$copy/$name" || { echo "$name is not formatted, run make generate"; bad=1; }
  done
  rm -rf "$copy"
  return $bad
}

# templ_in FOLDER ARGUMENT... runs the template tool in another folder.
templ_in() {
  local tools=$PWD/tools/go.mod
  (cd "$1" && shift && go tool -modfile="$tools" templ "$@")
}

# words: what must not stand in the project. Brackets keep the patterns from
# finding themselves.
words() {
  local found
  found=$(git grep --untracked -nIE -e '(^|[^[:alnum:]_.-])/(wor[k]/(main|shared|\.library)|far[m]|hom[e]/[a-z]+|roo[t]|User[s])/' \
    -e 'registry\.npm[j]s|proxy\.golan[g]|sum\.golan[g]|deb\.debia[n]\.org' \
    -e 'DO-NOT-[C]OMMIT' -- . ':!go.sum' ':!tools/go.sum' | cut -c1-200) || true
  [ -z "$found" ] || { echo "machine paths, registry hosts or a marker:"; echo "$found"; return 1; }
}

# lengths: a file is one idea. What a tool wrote does not count.
lengths() {
  local name lines bad=0
  while read -r name; do
    case $name in *_templ.go) continue ;; esac
    if head -n 3 "$name" | grep -q 'Code generated .* DO NOT EDIT'; then continue; fi
    lines=$(wc -l <"$name")
    if [ "$lines" -gt 650 ]; then
      echo "$name has $lines lines, more than 650: split it by idea"
      bad=1
    elif [ "$lines" -gt 450 ]; then
      echo "$name has $lines lines: is it still one idea?"
    fi
  done < <(sources '*.go' '*.templ' '*.ts' '*.mjs' '*.css' '*.sh')
  return $bad
}

step "format" formatted || true
step "vet" go vet "${packages[@]}" || true
step "vet, tools" go -C tools vet ./... || true
step "staticcheck" go tool -modfile=tools/go.mod staticcheck "${packages[@]}" || true
step "package comments" documented || true
step "modules are tidy" tidy || true
step "one version of templ" one_templ || true
step "templates" templates || true
step "words" words || true
step "lengths" lengths || true
close_steps lint
