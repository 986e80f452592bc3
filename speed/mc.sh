#!/bin/sh
# Compares BenchmarkMonteCarlo of internal/study/setpoint with the same tolerance stack in C.
# Interleaved, median of ROUNDS (5) rounds of 9 runs each; prints ns a sample of both and their ratio.
set -eu
cd "$(dirname "$0")/.."
rounds=${ROUNDS:-5}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
gcc -O3 -march=native -ffast-math -o "$work/mc" speed/c/mc.c -lm
go test -c -o "$work/setpoint.test" ./internal/study/setpoint
: >"$work/ratios"
i=0
while [ "$i" -lt "$rounds" ]; do
	c=$("$work/mc" | sed -n 's/.* = \([0-9.]*\) ns\/sample.*/\1/p')
	go=$("$work/setpoint.test" -test.run='^$' -test.bench='^BenchmarkMonteCarlo$' -test.benchtime=9x -test.cpu=1 |
		sed -n 's/.*[[:space:]]\([0-9.]*\) ns\/sample.*/\1/p')
	echo "$c $go" | awk '{ printf "C %.1f ns  Go %.1f ns  Go/C %.2f\n", $1, $2, $2/$1 }'
	echo "$c $go" | awk '{ print $2/$1 }' >>"$work/ratios"
	i=$((i + 1))
done
sort -n "$work/ratios" | awk '{ r[NR] = $1 } END { m = NR%2 ? r[(NR+1)/2] : (r[NR/2]+r[NR/2+1])/2; printf "median Go/C %.2f\n", m }'
