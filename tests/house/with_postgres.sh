#!/usr/bin/env bash
# Runs a command with DATABASE_URL pointing at a PostgreSQL server of its own, thrown away afterwards.
# Trust and no fsync: for tests only.
set -eu
bin=$(ls -d /usr/lib/postgresql/*/bin | sort -V | tail -1)
dir=$(mktemp -d /tmp/bylittle-pg-XXXXXX)
port=$((20000 + RANDOM % 20000))
as=()
if [ "$(id -u)" = 0 ]; then chown postgres "$dir"; as=(runuser -u postgres --); fi
stop() { "${as[@]}" "$bin/pg_ctl" -D "$dir/d" -m immediate stop >/dev/null 2>&1 || true; rm -rf "$dir"; }
trap stop EXIT
"${as[@]}" "$bin/initdb" -D "$dir/d" -A trust -U bylittle --no-sync -E UTF8 --locale=C.UTF-8 >/dev/null
"${as[@]}" "$bin/pg_ctl" -D "$dir/d" -w -l "$dir/log" -o "-c listen_addresses=127.0.0.1 -c port=$port \
  -c unix_socket_directories=$dir -c fsync=off -c synchronous_commit=off -c full_page_writes=off" start >/dev/null
"${as[@]}" "$bin/createdb" -h 127.0.0.1 -p "$port" -U bylittle bylittle
DATABASE_URL="postgresql://bylittle@127.0.0.1:$port/bylittle" "$@"
