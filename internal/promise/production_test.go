package promise

import (
	"strings"
	"testing"
)

// The example's list of prices says more than its records: both stand there, and the difference is news.
func TestUnitCostOfTheExample(t *testing.T) {
	j := verdicts(t, example(t), "").named(t, "unit-cost")
	calculated, recorded := j.of(t, Calculated), j.of(t, Recorded)
	if !(calculated.Low > recorded.High) || recorded.Units < 500 || recorded.Basis != "booked" {
		t.Errorf("calculated %+v, recorded %+v", calculated, recorded)
	}
	if len(j.Disagree) != 1 || !(j.Disagree[0].Low > 0) {
		t.Errorf("disagreement %+v", j.Disagree)
	}
	// Shared overheads and the hour cancel: the difference is surer than the two by themselves.
	if apart := calculated.High - calculated.Low + recorded.High - recorded.Low; j.Disagree[0].High-j.Disagree[0].Low > apart {
		t.Errorf("difference %+v is no surer than %g", j.Disagree[0], apart)
	}
}

// An overhead without its sum makes the cost at least what is known: a bound above it stays open, one
// below is broken.
func TestUnitCostWithoutAFigure(t *testing.T) {
	for bound, want := range map[string]Verdict{"60 EUR": Unproven, "40 EUR": NotMet} {
		folder := example(t, [3]string{"promises.toml", "promise.unit-cost.max", `"` + bound + `"`},
			[3]string{"production.toml", "overhead.new-law", `{ per = "year" }`})
		j := verdicts(t, folder, "").named(t, "unit-cost")
		if j.Verdict != want || !j.of(t, Calculated).OpenHigh {
			t.Errorf("%s: %s %+v", bound, j.Verdict, j.of(t, Calculated))
		}
		found := false
		for _, l := range j.Lacks {
			found = found || strings.HasPrefix(l.Key, "overhead.new-law")
		}
		if !found {
			t.Errorf("lacks %v", j.Lacks)
		}
	}
}

func TestUnitCostRefusesAnotherCurrency(t *testing.T) {
	j := verdicts(t, example(t, [3]string{"production.toml", "rates.USD", `"0.9 EUR"`}, [3]string{"promises.toml", "promise.unit-cost.max", `"45 USD"`}), "").named(t, "unit-cost")
	if j.Failed == nil || !strings.Contains(j.Failed.Error(), "want EUR") {
		t.Errorf("%v", j.Failed)
	}
}
