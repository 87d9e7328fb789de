#!/usr/bin/env bash
# Makes sure that the programs the tests need are on this machine. Missing
# Debian packages are installed if we are root; otherwise exit 2 says what to do.
set -euo pipefail

# chromium: browser tests. poppler-utils: reading written PDFs back. The rest:
# checking written documents against schemas.
wanted=(chromium poppler-utils libxml2-utils xsltproc python3-lxml)

for program in go node npm git; do
  if ! command -v "$program" >/dev/null; then
    echo "The tests need $program: install it and run them again." >&2
    exit 2
  fi
done

missing=()
for package in "${wanted[@]}"; do
  if [ "$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null)" != installed ]; then
    missing+=("$package")
  fi
done
if [ ${#missing[@]} -eq 0 ]; then
  echo "Debian packages are all here: ${wanted[*]}"
  exit 0
fi
if [ "$(id -u)" != 0 ]; then
  echo "The tests need these Debian packages: ${missing[*]}" >&2
  echo "Install them with: sudo apt-get update && sudo apt-get install ${missing[*]}" >&2
  exit 2
fi
echo "Installing Debian packages: ${missing[*]}"
export DEBIAN_FRONTEND=noninteractive
apt-get update -qq
apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
