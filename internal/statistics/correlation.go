package statistics

import (
	"fmt"
	"math"
)

// A Pair says that the inputs named A and B have the correlation coefficient R, -1 ≤ R ≤ 1.
type Pair struct {
	A, B string
	R    float64
}

// Correlation lists the correlated pairs of inputs, each once; pairs not listed are independent, and
// nil means that all are.
type Correlation []Pair

// CorrelationMatrix makes a Correlation of a full matrix r for the inputs of these names. It must
// be square, symmetric and have 1 on its diagonal.
func CorrelationMatrix(names []string, r [][]float64) (Correlation, error) {
	var corr Correlation
	if len(r) != len(names) {
		return nil, fmt.Errorf("correlation: %d rows for %d inputs; want as many", len(r), len(names))
	}
	for i, row := range r {
		if len(row) != len(names) {
			return nil, fmt.Errorf("correlation: row of %s has %d values; want %d", names[i], len(row), len(names))
		}
		if row[i] != 1 {
			return nil, fmt.Errorf("correlation of %s with itself is %v; want 1", names[i], row[i])
		}
		for j := range i {
			if row[j] != r[j][i] {
				return nil, fmt.Errorf("correlation of %s and %s is %v one way and %v the other; want them equal", names[j], names[i], r[j][i], row[j])
			}
			if row[j] != 0 {
				corr = append(corr, Pair{names[j], names[i], row[j]})
			}
		}
	}
	return corr, nil
}

// correlations is a Correlation made ready for a list of inputs.
type correlations struct {
	r     [][]float64 // full matrix
	lower [][]float64 // its Cholesky factor
	group []int       // for each input, the first input that it hangs together with
}

func (c Correlation) resolve(in []Input) (*correlations, error) {
	index := map[string]int{}
	out := &correlations{r: identity(len(in)), group: make([]int, len(in))}
	for i, one := range in {
		index[one.Name], out.group[i] = i, i
	}
	set := map[[2]int]float64{}
	for _, p := range c {
		i, okA := index[p.A]
		j, okB := index[p.B]
		switch {
		case !okA || !okB:
			return nil, fmt.Errorf("correlation of %s and %s: no such input; want names of two inputs", p.A, p.B)
		case i == j:
			return nil, fmt.Errorf("correlation of %s with itself; want two inputs", p.A)
		case !(math.Abs(p.R) <= 1):
			return nil, fmt.Errorf("correlation of %s and %s is %v; want -1 to 1", p.A, p.B, p.R)
		}
		key := [2]int{min(i, j), max(i, j)}
		if old, ok := set[key]; ok && old != p.R {
			return nil, fmt.Errorf("correlation of %s and %s is given as %v and as %v; want one", p.A, p.B, old, p.R)
		}
		set[key] = p.R
		out.r[i][j], out.r[j][i] = p.R, p.R
		if p.R != 0 {
			out.join(i, j)
		}
	}
	var err error
	out.lower, err = cholesky(out.r, in)
	return out, err
}

func (c *correlations) join(i, j int) {
	from, to := max(c.group[i], c.group[j]), min(c.group[i], c.group[j])
	for k, g := range c.group {
		if g == from {
			c.group[k] = to
		}
	}
}

// alone tells whether input i is correlated with no other.
func (c *correlations) alone(i int) bool {
	for j, g := range c.group {
		if j != i && g == c.group[i] {
			return false
		}
	}
	return true
}

func identity(n int) [][]float64 {
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
		m[i][i] = 1
	}
	return m
}

// semidefinite is how far below 0 rounding may push a pivot.
const semidefinite = 1e-10

// cholesky returns the lower triangle L with L·Lᵀ = r. A pivot of 0, from correlations
// of ±1, leaves its column 0. If r is not positive semidefinite, the error
// names the pair that the others leave no room for.
func cholesky(r [][]float64, in []Input) ([][]float64, error) {
	l := identity(len(r))
	impossible := func(i, j int) error {
		return fmt.Errorf("correlation of %s and %s: %v cannot go together with the other correlations; want a positive semidefinite matrix",
			in[j].Name, in[i].Name, r[i][j])
	}
	for i := range r {
		pivot, strongest := 1.0, 0
		for j := range i {
			v := r[i][j]
			for k := range j {
				v -= l[i][k] * l[j][k]
			}
			switch {
			case l[j][j] > 0:
				l[i][j] = v / l[j][j]
			case math.Abs(v) > math.Sqrt(semidefinite):
				return nil, impossible(i, j)
			}
			pivot -= l[i][j] * l[i][j]
			if math.Abs(l[i][j]) > math.Abs(l[i][strongest]) {
				strongest = j
			}
		}
		if pivot < -semidefinite {
			return nil, impossible(i, strongest)
		}
		l[i][i] = 0
		if pivot > semidefinite {
			l[i][i] = math.Sqrt(pivot)
		}
	}
	return l, nil
}
