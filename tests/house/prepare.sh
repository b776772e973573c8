#!/usr/bin/env bash
# The test browser, the PDF viewer's tools and the database server come from the system's packages:
# install them where we may, else say the one line to run.
set -eu
missing=()
command -v chromium >/dev/null || [ -x /usr/bin/chromium ] || missing+=(chromium)
command -v pdftoppm >/dev/null || missing+=(poppler-utils)
ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing+=(postgresql)
[ ${#missing[@]} -eq 0 ] && exit 0
if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
  echo "Installing for the tests: ${missing[*]}"
  export DEBIAN_FRONTEND=noninteractive
  apt-get update -qq && apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
else
  echo "The tests need: ${missing[*]}. Please run:"
  echo "  sudo apt-get update && sudo apt-get install -y ${missing[*]}"
  exit 1
fi
