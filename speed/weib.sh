#!/bin/sh
# Compares BenchmarkWeibull of internal/statistics with the same fit in C: 100,000 units, 77 % still good.
# Interleaved, median of ROUNDS (5) rounds of 15 runs each; prints ms a fit of both and their ratio, which is to stay at most 1.1.
# The Go fit also finds the limits of the scale, which the C reference leaves out.
set -eu
cd "$(dirname "$0")/.."
rounds=${ROUNDS:-5}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
gcc -O3 -march=native -o "$work/weib" speed/c/weib.c -lm
gcc -O2 -o "$work/weib_gen" speed/c/weib_gen.c -lm
go test -c -o "$work/statistics.test" ./internal/statistics
(cd "$work" && ./weib_gen)
: >"$work/ratios"
i=0
while [ "$i" -lt "$rounds" ]; do
	c=$(cd "$work" && ./weib | sed -n 's/.*median \([0-9.]*\) s.*/\1/p')
	go=$("$work/statistics.test" -test.run='^$' -test.bench='^BenchmarkWeibull$' -test.benchtime=15x -test.cpu=1 |
		sed -n 's/.*[[:space:]]\([0-9.]*\) ns\/op.*/\1/p')
	echo "$c $go" | awk '{ printf "C %.2f ms  Go %.2f ms  Go/C %.2f\n", 1e3*$1, $2/1e6, $2/1e9/$1 }'
	echo "$c $go" | awk '{ print $2/1e9/$1 }' >>"$work/ratios"
	i=$((i + 1))
done
sort -n "$work/ratios" | awk '{ r[NR] = $1 } END { m = NR%2 ? r[(NR+1)/2] : (r[NR/2]+r[NR/2+1])/2; printf "median Go/C %.2f\n", m }'
