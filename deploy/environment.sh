# Shared by the two commands: makes an environment of its own from a lock. Source it, then call
#   make_environment FOLDER LOCK
# It is made anew only when the lock has changed. Says in plain words what is missing.

say() { printf '%s\n' "$*" >&2; }

find_python() {
  local name
  for name in python3.14 python3.13 python3.12 python3.11 python3; do
    if command -v "$name" >/dev/null 2>&1 &&
      "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
      command -v "$name"
      return 0
    fi
  done
  say "Python 3.11 or newer is needed, and none was found on the path. Install it, then try again."
  return 1
}

make_environment() {
  local folder=$1 lock=$2 python mark
  python=$(find_python) || return 1
  mark="$folder/made-from"
  if [ -x "$folder/bin/python" ] && cmp -s "$lock" "$mark"; then
    :
  else
    say "Making the environment $folder (a minute or two, the first time) ..."
    rm -rf "$folder"
    if ! "$python" -m venv "$folder" 2>/dev/null; then
      say "Python has no venv module here. On Debian: apt-get install python3-venv. Then try again."
      return 1
    fi
    if ! PIP_DISABLE_PIP_VERSION_CHECK=1 "$folder/bin/python" -m pip install --quiet \
      --require-hashes -r "$lock"; then
      say "The packages named in $lock could not be installed. Is a package index within reach?"
      return 1
    fi
    cp "$lock" "$mark"
  fi
  PIP_DISABLE_PIP_VERSION_CHECK=1 "$folder/bin/python" -m pip install --quiet \
    --no-deps --no-build-isolation -e . || return 1
}
