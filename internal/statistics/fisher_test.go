package statistics

import (
	"math"
	"math/big"
	"testing"
)

// Tea tasting (Fisher, The Design of Experiments, 1935): 3 of 4 right has a tail of 17/70; twins'
// convictions (Fisher, Statistical Methods for Research Workers): two-sided 0.0005367.
func TestFisherExact(t *testing.T) {
	two, one, err := FisherExact(3, 1, 1, 3)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "tea, two-sided", two, 34.0/70, 1e-15)
	near(t, "tea, one-sided", one, 17.0/70, 1e-15)
	two, one, _ = FisherExact(2, 15, 10, 3)
	near(t, "twins, two-sided", two, 0.0005367, 5e-8)
	near(t, "twins, one-sided", one, 0.0004652, 5e-8)
	for _, c := range [][4]int{{-1, 2, 3, 4}, {1, 2, 3, maxCount + 1}} {
		_, _, err := FisherExact(c[0], c[1], c[2], c[3])
		refused(t, err, "count is")
	}
}

// Every small table against whole numbers, which do not round.
func TestFisherExactAgainstCounting(t *testing.T) {
	const most = 5
	choose := func(n, k int) *big.Int { return new(big.Int).Binomial(int64(n), int64(k)) }
	for code := range most * most * most * most {
		a, b, c, d := code%most, code/most%most, code/most/most%most, code/most/most/most
		ways := func(x int) *big.Int { return new(big.Int).Mul(choose(a+c, x), choose(b+d, a+b-x)) }
		all, rare, below, above := new(big.Int), new(big.Int), new(big.Int), new(big.Int)
		for x := max(0, a-d); x <= min(a+b, a+c); x++ {
			w := ways(x)
			all.Add(all, w)
			if w.Cmp(ways(a)) <= 0 {
				rare.Add(rare, w)
			}
			if x <= a {
				below.Add(below, w)
			}
			if x >= a {
				above.Add(above, w)
			}
		}
		part := func(n *big.Int) float64 { v, _ := new(big.Rat).SetFrac(n, all).Float64(); return v }
		two, one, err := FisherExact(a, b, c, d)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "two-sided", two, part(rare), 1e-14)
		near(t, "one-sided", one, min(part(below), part(above)), 1e-14)
	}
}

// Of many units the test nears the normal one with half a unit off (computed independently), and it
// neither takes long nor overflows at the ends.
func TestFisherExactOfMany(t *testing.T) {
	n := 100_000_000
	two, one, err := FisherExact(n, n, n-12000, n)
	if err != nil {
		t.Fatal(err)
	}
	// x̄ = row·column/total, variance row·column·other·rest/total²/(total−1), one-sided 1 − Φ
	row, column, total := float64(2*n), float64(2*n-12000), float64(4*n-12000)
	mean := row * column / total
	variance := row * column * float64(2*n) * (total - row) / total / total / (total - 1)
	z := (float64(n) - 0.5 - mean) / math.Sqrt(variance)
	near(t, "one-sided", one, NormalCDF(-z), 1e-6)
	// the other tail begins up to one table off
	near(t, "two-sided", two, 2*NormalCDF(-z), math.Exp(-z*z/2)/math.Sqrt(2*math.Pi*variance))
	if two, one, err := FisherExact(maxCount, 0, 0, maxCount); err != nil || two != 0 || one != 0 {
		t.Errorf("at the end: %v %v %v", two, one, err)
	}
}
