package survival

import (
	"fmt"
	"math"

	"hindwatt/internal/statistics"
)

// A Row is one interval of age of a life table, from From on and up to but without To.
type Row struct {
	From, To  float64
	Entered   float64 // units under watch at From
	Late      float64 // that came under watch in the interval
	Failed    float64
	Withdrawn float64 // that left it, still good, in the interval
	Ended     float64 // that left it, still good, just at To
	Exposed   float64 // Entered + Late/2 − Withdrawn/2
	Q         float64 // part of Exposed that failed; 0 where none was exposed
	Survival  float64 // to To
	Low, High Maybe   // of Survival
}

// A Table is a life table of ages that are known by intervals only.
type Table struct {
	Rows     []Row
	Units    int
	Failures int
}

// LifeTable returns the life table of grouped ages (actuarial method).
//
//	edges       of the intervals of age, rising, the first 0, two or more
//	lives       exact ages, and failures between ages that lie in one interval; open ages and late entry
//	confidence  of the limits of the survival: Greenwood's variance on the scale of log(−log S), 0 < confidence < 1
//
// A unit that left in an interval, or came under watch in it, counts for half of it. One that was still good just at an
// edge was exposed up to it, and one that came under watch there from it on. Ages beyond the last edge count as still good at it. Rows end with the
// last interval in which a unit was exposed.
//
// Source: Cutler and Ederer, Journal of Chronic Diseases 8 (1958), p. 699; equation [F4] of docs/models.md.
func LifeTable(edges []float64, lives []Life, confidence float64) (Table, error) {
	if err := checkEdges(edges, confidence); err != nil {
		return Table{}, err
	}
	if _, err := checkAll(lives); err != nil {
		return Table{}, err
	}
	rows := make([]Row, len(edges)-1)
	for i := range rows {
		rows[i].From, rows[i].To = edges[i], edges[i+1]
	}
	t := Table{}
	for i, l := range lives {
		if err := enter(rows, l); err != nil {
			return Table{}, fmt.Errorf("unit %d: %w", i+1, err)
		}
		t.Units += l.Count
	}
	t.fill(rows, confidence)
	return t, nil
}

func checkEdges(edges []float64, confidence float64) error {
	switch {
	case !(confidence > 0 && confidence < 1):
		return fmt.Errorf("confidence is %v; want more than 0 and less than 1", confidence)
	case len(edges) < 2 || edges[0] != 0:
		return fmt.Errorf("edges are %v; want two or more, the first 0", edges)
	}
	for i, e := range edges[1:] {
		if !(e > edges[i] && e <= math.MaxFloat64) {
			return fmt.Errorf("edge is %v after %v; want edges that rise", e, edges[i])
		}
	}
	return nil
}

// interval returns the row whose interval an age lies in; len(rows) beyond the last.
func rowOf(rows []Row, age float64) int {
	low, high := 0, len(rows)
	for low < high {
		if middle := (low + high) / 2; rows[middle].To > age {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// enter counts one life in the rows. Entered of a row holds at first those that begin at its edge.
func enter(rows []Row, l Life) error {
	n, last := float64(l.Count), rows[len(rows)-1].To
	if l.Entry >= last {
		return nil
	}
	if first := rowOf(rows, l.Entry); l.Entry == rows[first].From {
		rows[first].Entered += n
	} else {
		rows[first].Late += n
	}
	at := rowOf(rows, l.From)
	switch {
	case at == len(rows):
		rows[at-1].Ended += n
	case l.good() && l.From == rows[at].From && at > 0:
		rows[at-1].Ended += n
	case l.good():
		rows[at].Withdrawn += n
	case l.failed() || l.To <= rows[at].To:
		rows[at].Failed += n
	default:
		return fmt.Errorf("failed between %v and %v, which an edge at %v parts; want edges that do not", l.From, l.To, rows[at].To)
	}
	return nil
}

// fill computes the columns of the rows, up to the last that had a unit.
func (t *Table) fill(rows []Row, confidence float64) {
	survival, sum, left := 1.0, 0.0, 0.0
	z := statistics.NormalQuantile((1 + confidence) / 2)
	for i := range rows {
		r := &rows[i]
		r.Entered += left
		if r.Exposed = r.Entered + (r.Late-r.Withdrawn)/2; r.Exposed > 0 { // [F4]
			r.Q = min(r.Failed/r.Exposed, 1)
			survival *= 1 - r.Q
			sum += r.Q / (r.Exposed * (1 - r.Q)) // Greenwood; +Inf at Q = 1
		}
		r.Survival = survival
		r.Low, r.High = logLog(survival, sum, z)
		t.Failures += int(r.Failed)
		if r.Entered+r.Late > 0 {
			t.Rows = rows[:i+1]
		}
		left = r.Entered + r.Late - r.Failed - r.Withdrawn - r.Ended
	}
}

// logLog returns limits of a survival s, by its relative variance, on the scale of log(−log s).
func logLog(s, greenwood, z float64) (low, high Maybe) {
	none := func(why string) (Maybe, Maybe) { return Maybe{None: why}, Maybe{None: why} }
	switch s {
	case 1:
		return none(noneFailed)
	case 0:
		return none(allFailed)
	}
	wide := z * math.Sqrt(greenwood) / -math.Log(s)
	return Maybe{Value: math.Pow(s, math.Exp(wide))}, Maybe{Value: math.Pow(s, math.Exp(-wide))}
}
