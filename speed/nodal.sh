#!/bin/sh
# Compares BenchmarkFaultCases of internal/physics/circuit with the same 400 fault cases of a 15-node network in C.
# Interleaved, median of ROUNDS (5) rounds; prints ms for the 400 cases of both and their ratio, which is to stay at most 1.8.
# The Go solver checks each case's graph, solves every one of the 400, and holds Kirchhoff's law at each node; C leaves out 2.
set -eu
cd "$(dirname "$0")/.."
rounds=${ROUNDS:-5}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
gcc -O3 -march=native -o "$work/nodal" speed/c/nodal.c -lm
go test -c -o "$work/circuit.test" ./internal/physics/circuit
: >"$work/ratios"
i=0
while [ "$i" -lt "$rounds" ]; do
	c=$("$work/nodal" | sed -n 's/.*median \([0-9.]*\) s.*/\1/p')
	go=$("$work/circuit.test" -test.run='^$' -test.bench='^BenchmarkFaultCases$' -test.benchtime=50x -test.cpu=1 |
		sed -n 's/.*[[:space:]]\([0-9.]*\) ns\/op.*/\1/p')
	echo "$c $go" | awk '{ printf "C %.2f ms  Go %.2f ms  Go/C %.2f\n", 1e3*$1, $2/1e6, $2/1e9/$1 }'
	echo "$c $go" | awk '{ print $2/1e9/$1 }' >>"$work/ratios"
	i=$((i + 1))
done
sort -n "$work/ratios" | awk '{ r[NR] = $1 } END { m = NR%2 ? r[(NR+1)/2] : (r[NR/2]+r[NR/2+1])/2; printf "median Go/C %.2f\n", m }'
