package production

import (
	"fmt"

	"hindwatt/internal/statistics"
)

// StepYield holds what passed a step at first against the folder.
type StepYield struct {
	Step                   string
	Entered, Rework, Scrap int
	Passed                 Interval // at first, exact limits at 95 %
	Folder                 float64
	Differs                bool // at 95 % for all steps together
}

// fewNotRecorded is from how many units on a record without any fault is not believed.
const fewNotRecorded = 50

// yields counts what passed at each step.
func (r *Result) yields() {
	rec, m := r.Input.Recorded, r.model
	entered, faults := int(rec.Started.Low), 0
	for _, c := range rec.Steps {
		faults += c.Rework + c.Scrap
	}
	if faults == 0 {
		if entered > fewNotRecorded {
			least := ""
			if rec.Started.Low < rec.Started.High {
				least = "at least "
			}
			m.note(fmt.Sprintf("All of %s%d units are recorded as passed at first: rework and scrap were probably not recorded.", least, entered), "record rework and scrap too", "records/made.csv")
		}
		return
	}
	for _, s := range m.steps {
		y := StepYield{Step: s.source.Name, Entered: entered, Folder: s.yield.value}
		for _, c := range rec.Steps {
			if c.Step == y.Step {
				y.Rework, y.Scrap = y.Rework+c.Rework, y.Scrap+c.Scrap
			}
		}
		passed := entered - y.Rework - y.Scrap
		if entered < 1 || passed < 0 {
			continue
		}
		low, high, err := statistics.BinomialLimits(passed, entered, 0.95)
		if err != nil {
			continue
		}
		y.Passed = Interval{float64(passed) / float64(entered), low, high}
		wideLow, wideHigh, err := statistics.BinomialLimits(passed, entered, 1-0.05/float64(len(m.steps)))
		y.Differs = err == nil && (y.Folder < wideLow || y.Folder > wideHigh)
		r.Yields = append(r.Yields, y)
		entered -= y.Scrap
	}
}
