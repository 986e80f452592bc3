package desk

import (
	"strings"
	"testing"

	"hindwatt/internal/figure"
)

func TestMarksShowWhereTheyStood(t *testing.T) {
	was := figure.Ends{Quantity: "how it ends", Marks: []figure.EndMark{{Kind: figure.Calculated, End: figure.PartLost, Reach: figure.PartLost}}}
	is := figure.Ends{Quantity: "how it ends", Marks: []figure.EndMark{{Kind: figure.Calculated}}}
	if d := movedFrom(is, was).Drawing(400); !strings.Contains(d.Description, "Before, calculated: part lost") {
		t.Error(d.Description)
	}
	strip := func(unit string, at float64) figure.Strip {
		return figure.Strip{Quantity: "float", Unit: unit, Marks: []figure.Mark{{Kind: figure.Calculated, Best: at, Low: at, High: at}}}
	}
	if d := movedFrom(strip("V", 27.4), strip("V", 27.3)).Drawing(400); !strings.Contains(d.Description, "Before, calculated: 27.3") {
		t.Error(d.Description)
	}
	for _, before := range []figure.Plot{strip("mV", 27300), was, nil} { // what is no place on this axis
		if d := movedFrom(strip("V", 27.4), before).Drawing(400); strings.Contains(d.Description, "Before") {
			t.Error(d.Description)
		}
	}
}
