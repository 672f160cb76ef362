#!/bin/sh
# RELAY_HOST and RELAY_USER are required, RELAY_PASSWORD too; RELAY_PORT is 587 (STARTTLS) unless 465 (TLS) is said.
set -eu
: "${RELAY_HOST:?is not set}" "${RELAY_USER:?is not set}" "${RELAY_PASSWORD:?is not set}"
port="${RELAY_PORT:-587}"
starttls=on
[ "$port" = 465 ] && starttls=off
exec msmtpd --interface="${RELAY_LISTEN:-0.0.0.0}" --port="${RELAY_LISTEN_PORT:-2525}" --log=none \
  --command="msmtp --host=$RELAY_HOST --port=$port --tls=${RELAY_TLS:-on} --tls-starttls=$starttls --auth=${RELAY_AUTH:-on} --user=$RELAY_USER --passwordeval='printenv RELAY_PASSWORD' -f %F --"
