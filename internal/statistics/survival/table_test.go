package survival

import (
	"math"
	"testing"
)

// Cutler and Ederer, Journal of Chronic Diseases 8 (1958), p. 699: 126 patients by year after the diagnosis (from memory); lost and
// withdrawn stand together here. Printed with two digits: q 0.40 0.10 0.07 0.12 0.00, survival to the end of each year 0.60 0.54 0.50 0.44 0.44.
func TestLifeTable(t *testing.T) {
	var lives []Life
	for i, row := range []struct{ died, left int }{{47, 19}, {5, 17}, {2, 15}, {2, 9}, {0, 6}} {
		year := float64(i)
		if row.died > 0 {
			lives = append(lives, Life{0, year, year + 1, row.died})
		}
		lives = append(lives, Life{0, year + 0.4, math.Inf(1), row.left})
	}
	lives = append(lives, Life{0, 5, math.Inf(1), 4})
	table, err := LifeTable([]float64{0, 1, 2, 3, 4, 5}, lives, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ entered, exposed, q, s float64 }{{126, 116.5, 0.40, 0.60}, {60, 51.5, 0.10, 0.54}, {38, 30.5, 0.07, 0.50}, {21, 16.5, 0.12, 0.44}, {10, 7, 0, 0.44}} {
		r := table.Rows[i]
		near(t, "entered", r.Entered, want.entered, 0)
		near(t, "exposed", r.Exposed, want.exposed, 0)
		near(t, "q", r.Q, want.q, 0.005)
		near(t, "survival", r.Survival, want.s, 0.005)
	}
	// Their standard error of the five-year survival is 0.060 (from memory); on the scale of log(−log S) it is se/(S·|log S|).
	last := table.Rows[4]
	width := (math.Log(-math.Log(exists(t, "low", last.Low))) - math.Log(-math.Log(exists(t, "high", last.High)))) / (2 * 1.959964)
	near(t, "standard error", width*last.Survival*-math.Log(last.Survival), 0.060, 0.0005)
	if table.Units != 126 || table.Failures != 56 || last.Ended != 4 || len(table.Rows) != 5 {
		t.Errorf("%+v", table)
	}
}

// With ages at failure alone and an edge at each, the table is Kaplan and Meier's.
func TestLifeTableIsKaplanMeier(t *testing.T) {
	c, err := KaplanMeier(leukaemia[1])
	if err != nil {
		t.Fatal(err)
	}
	edges := []float64{0}
	for _, s := range c.Steps {
		edges = append(edges, s.Age+0.5)
	}
	table, err := LifeTable(edges, leukaemia[1], 0.9)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range c.Steps {
		near(t, "survival", table.Rows[i].Survival, s.Survival, 1e-14)
		e, _ := c.At(s.Age, 0.9)
		near(t, "low", table.Rows[i].Low.Value, e.Low.Value, 1e-12)
	}
}

// Late entry counts half; what lies beyond the last edge is still good there; a failure across an edge is refused.
func TestLifeTableEnds(t *testing.T) {
	table, err := LifeTable([]float64{0, 10, 20}, []Life{{5, 15, 15, 2}, {10, 25, 25, 3}, {0, 10, math.Inf(1), 4}, {30, 40, 40, 1}}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	a, b := table.Rows[0], table.Rows[1]
	if a.Entered != 4 || a.Late != 2 || a.Exposed != 5 || a.Ended != 4 || b.Entered != 5 || b.Exposed != 5 || b.Failed != 2 || b.Ended != 3 || a.Low.None == "" {
		t.Errorf("%+v", table)
	}
	_, err = LifeTable([]float64{0, 10, 20}, []Life{{0, 5, 15, 1}}, 0.95)
	refused(t, err, false, "an edge at 10 parts")
	_, err = LifeTable([]float64{0, 10, 10}, handbook, 0.95)
	refused(t, err, false, "rise")
	_, err = LifeTable([]float64{1, 10}, handbook, 0.95)
	refused(t, err, false, "the first 0")
}

// NIST/SEMATECH e-Handbook 8.2.2.1: positions of 10 failures of 20 units (from memory, to three digits), and
// Johnson's adjusted ranks by hand: 1, 1 + 5/4, 2.25 + 3.75/3 of five units.
func TestPlotting(t *testing.T) {
	points, err := Plotting(handbook)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.034, 0.083, 0.132, 0.181, 0.230, 0.279, 0.328, 0.377, 0.426, 0.475} {
		near(t, "position", points[i].P, want, 0.0006)
	}
	points, err = Plotting([]Life{Failed(10), Good(20), Failed(30), Failed(40), Good(50)})
	if err != nil {
		t.Fatal(err)
	}
	for i, rank := range []float64{1, 2.25, 3.5} {
		near(t, "adjusted rank", points[i].P, (rank-0.3)/5.4, 1e-14)
	}
	points, _ = Plotting([]Life{{0, 3, 3, 3}, Good(9)}) // ranks 1, 2, 3
	if near(t, "of alike ages", points[0].P, (2-0.3)/4.4, 1e-14); len(points) != 1 {
		t.Errorf("%+v", points)
	}
	_, err = Plotting(inspected)
	refused(t, err, false, "between two inspections")
}

// By hand: of reports with a window of 3 and of 1, a delay of 0 is the share 2/3·3/5.
func TestDelay(t *testing.T) {
	c, err := Delay([]Truncated{{2, 3, 1}, {0, 3, 1}, {1, 3, 1}, {0, 1, 2}, {1, 1, 1}})
	if err != nil {
		t.Fatal(err)
	}
	// delay 2: 1 of the 3 with windows of 2 or more; delay 1: 2 of the 5 others; then 0.
	for i, want := range []DelayStep{{0, 3, 3, 2. / 3 * 3 / 5}, {1, 2, 5, 2. / 3}, {2, 1, 3, 1}} {
		got := c.Steps[i]
		near(t, "p", got.P, want.P, 1e-15)
		if want.P = got.P; got != want {
			t.Errorf("step %+v; want %+v", got, want)
		}
	}
	near(t, "median", exists(t, "median", c.Quantile(0.5)), 1, 0)
	near(t, "at", c.At(1.5), 2./3, 1e-15)
	near(t, "before", c.At(-1), 0, 0)
	_, err = Delay([]Truncated{{2, 1, 1}})
	refused(t, err, false, "0 ≤ delay ≤ window")
	_, err = Delay(nil)
	refused(t, err, false, "no delay")
}

// Windows all long enough give the plain shares.
func TestDelayWithoutTruncation(t *testing.T) {
	c, err := Delay([]Truncated{{1, 9, 5}, {4, 9, 3}, {7, 9, 2}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.5, 0.8, 1} {
		near(t, "share", c.Steps[i].P, want, 1e-15)
	}
}
