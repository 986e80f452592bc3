package circuit

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

func TestAgainstCAll(t *testing.T) {
	f, _ := os.Open("/tmp/nodal_table.txt")
	sc := bufio.NewScanner(f)
	c := newFaultCases(t)
	worst := 0.0
	for sc.Scan() {
		w := strings.Fields(sc.Text())
		var k, it int
		fmt.Sscan(w[0], &k)
		fmt.Sscan(w[1], &it)
		c.fault(k, false)
		s, err := c.solver.Solve()
		if err != nil {
			t.Fatal(err)
		}
		for i := range gridNodes {
			var v float64
			fmt.Sscan(w[2+i], &v)
			d := math.Abs(v - s.Voltage(c.node[i]))
			if it > 0 {
				worst = max(worst, d)
				if d > 1e-6 {
					t.Error(k, i, v, s.Voltage(c.node[i]))
				}
			}
		}
		c.fault(k, true)
	}
	t.Log(worst)
}
