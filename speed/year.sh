#!/bin/sh
# Compares BenchmarkYear and BenchmarkYears of internal/study/charge with the C references of speed/c: one year (year.c, "C1"), the same with fewer
# exponentials (yearfast.c), eight years side by side (batch.c). Interleaved, median of ROUNDS (5) rounds; times of one step of one year, ns. All but "two
# cores" count the processor's time, not the clock's, which other work on the machine would stretch.
set -eu
cd "$(dirname "$0")/.."
rounds=${ROUNDS:-5}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
for p in year yearfast batch; do
	sed 's/CLOCK_MONOTONIC/CLOCK_PROCESS_CPUTIME_ID/' "speed/c/$p.c" >"$work/$p.c"
done
gcc -O3 -march=native -Ispeed/c -o "$work/year" "$work/year.c" -lm
gcc -O3 -march=native -Ispeed/c -o "$work/yearfast" "$work/yearfast.c" -lm
gcc -O3 -march=native -fopenmp-simd -ffast-math -Ispeed/c -o "$work/batch" "$work/batch.c" -lm
go test -c -o "$work/charge.test" ./internal/study/charge
cd "$work"
./year 525600 1 >/dev/null 2>&1 # writes the weather that the others read
bench() { ./charge.test -test.run='^$' -test.bench="$1" -test.benchtime=5x -test.cpu="$2" | sed -n "s|.*[[:space:]]\([0-9.]*\) $3.*|\1|p"; }
: >rows
i=0
while [ "$i" -lt "$rounds" ]; do
	c1=$(./year 525600 5 2>/dev/null | sed -n 's/.* \([0-9.]*\) ns\/step.*/\1/p')
	c2=$(./yearfast 525600 5 | sed -n 's/.* \([0-9.]*\) ns\/step.*/\1/p')
	c8=$(./batch 525600 3 | sed -n 's/.* \([0-9.]*\) ns per year-step.*/\1/p')
	one=$(bench '^BenchmarkYear$' 1 cpu-ns/step)
	eight=$(bench '^BenchmarkYears$/^eight$' 1 cpu-ns/step)
	alone=$(bench '^BenchmarkYears$/^sixteen$' 1 '[n]s/step')
	both=$(bench '^BenchmarkYears$/^sixteen$' 2 '[n]s/step')
	echo "$c1 $c2 $c8 $one $eight $alone $both" >>rows
	echo "$c1 $c2 $c8 $one $eight $alone $both" | awk '{ printf "C1 %.0f  C2 %.0f  C8 %.0f  one year %.0f (%.2f of C1)  eight %.0f (%.2f of C1)  two cores %.2f times one\n", $1, $2, $3, $4, $4/$1, $5, $5/$1, $6/$7 }'
	i=$((i + 1))
done
median() { awk "{ print $1 }" rows | sort -n | awk '{ r[NR] = $1 } END { print NR%2 ? r[(NR+1)/2] : (r[NR/2]+r[NR/2+1])/2 }'; }
printf 'median: one year %.2f of C1, eight %.2f of C1 a year, two cores %.2f times one\n' "$(median '$4/$1')" "$(median '$5/$1')" "$(median '$6/$7')"
