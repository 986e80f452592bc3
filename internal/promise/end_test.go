package promise

import (
	"encoding/json"
	"slices"
	"testing"

	"hindwatt/internal/figure"
	"hindwatt/internal/product"
)

func TestEndWordsAreThoseOfTheBoxes(t *testing.T) {
	for i, word := range product.EndWords {
		if drawn := figure.FaultEnd(i).String(); drawn != word {
			t.Errorf("end %d is %q in a promise and %q in its boxes", i, word, drawn)
		}
	}
	if beyond := figure.FaultEnd(len(product.EndWords)).String(); beyond != product.EndWords[len(product.EndWords)-1] {
		t.Errorf("the boxes have an end %q that no promise can name", beyond)
	}
}

// TestSuggestsCases: a slip of the pen gets the case that was meant, anything else some that share its words.
func TestSuggestsCases(t *testing.T) {
	known := []string{"panel leads touched", "load shorted", "battery reversed", "battery reversed, panel off", "q1 short"}
	for name, want := range map[string]string{
		"battery revresed":           "did you mean battery reversed",
		"Panel Leads Touched":        "did you mean panel leads touched",
		"battery shorted by spanner": "want one that hindwatt study fault lists, such as load shorted; battery reversed",
		"lightning":                  "want one that hindwatt study fault lists, such as panel leads touched",
	} {
		if got := wantCase(name, known); got != want {
			t.Errorf("%s: %s; want %s", name, got, want)
		}
	}
}

func TestJudgesEnds(t *testing.T) {
	asked := Bound{Ends: endsOf([]string{"unharmed", "recovers"})}
	end := func(kind Kind, least, worst, most figure.FaultEnd, covers bool) Evidence {
		return Evidence{Kind: kind, Covers: covers, End: &End{Least: least, Worst: worst, Most: most}}
	}
	for _, c := range []struct {
		name     string
		evidence []Evidence
		want     Verdict
	}{
		{"nothing", nil, NoEvidence},
		{"surely unharmed", []Evidence{end(Calculated, figure.Unharmed, figure.Unharmed, figure.Unharmed, true)}, Met},
		{"recovers", []Evidence{end(Calculated, figure.Unharmed, figure.Recovers, figure.Recovers, true)}, Met},
		{"a part perhaps lost", []Evidence{end(Calculated, figure.Unharmed, figure.Unharmed, figure.PartLost, true)}, Unproven},
		{"a part lost, or not", []Evidence{end(Calculated, figure.Recovers, figure.PartLost, figure.PartLost, true)}, Unproven},
		{"surely a hazard", []Evidence{end(Calculated, figure.PartLost, figure.Hazard, figure.Hazard, true)}, NotMet},
		{"tried in one state of several", []Evidence{end(Measured, figure.Unharmed, figure.Unharmed, figure.Unharmed, false)}, Unproven},
		{"calculated as harmless, but a part was lost in a trial", []Evidence{
			end(Calculated, figure.Unharmed, figure.Unharmed, figure.Unharmed, true), end(Measured, figure.PartLost, figure.PartLost, figure.PartLost, false)}, NotMet},
	} {
		if got := Judge(asked, 0, c.evidence); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestEndInJSON(t *testing.T) {
	margin := closed(2.3, 1.7, 3.1)
	e := Evidence{Kind: Calculated, End: &End{Least: figure.Unharmed, Worst: figure.Recovers, Most: figure.PartLost, Case: "panel leads touched, full sun", Margin: &margin}}
	raw, err := json.Marshal(e.json(scale{}))
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Best   *float64
		Worst  string
		Case   string
		Margin struct{ Best, Low, High float64 }
		Least  string
		Most   string
	}
	if err := json.Unmarshal(raw, &got); err != nil {
		t.Fatal(err)
	}
	is := []any{got.Best == nil, got.Worst, got.Case, got.Margin.Best, got.Margin.Low, got.Margin.High, got.Least, got.Most}
	if want := []any{true, "recovers", "panel leads touched, full sun", 2.3, 1.7, 3.1, "unharmed", "part lost"}; !slices.Equal(is, want) {
		t.Errorf("%v, want %v", is, want)
	}
}
