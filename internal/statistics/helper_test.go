package statistics

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// near holds got to want within tol, which is half a unit of the last digit printed at the source
// unless the source itself says more.
func near(t *testing.T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g; want %.10g ± %g", name, got, want, tol)
	}
}

// refused holds that err is there and says each of the words.
func refused(t *testing.T, err error, words ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("no error; want one that says %q", words)
		return
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("error is %q; want it to say %q", err, w)
		}
	}
}

// columns reads a CSV of numbers under one line of names.
func columns(t *testing.T, file string) [][]float64 {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := make([][]float64, len(rows[0]))
	for _, row := range rows[1:] {
		for i, s := range row {
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			out[i] = append(out[i], v)
		}
	}
	return out
}

// long marks a test of numbers, not of concurrency, that the race detector need not run.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a long check of numbers")
	}
}
