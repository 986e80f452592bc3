package production

import (
	"math"
	"strings"
	"testing"
)

// A tub instead of the box: 2 EUR instead of 4, 3 min of soldering more, a mould of 100 EUR over 50
// units. Computed by hand: a started unit saves 2 − 3·1.1·0.40 = 0.68 EUR, a good one 0.68/0.9; the
// mould takes 2 EUR. 100 EUR are earned after 100/(0.68/0.9) units.
func tub(t *testing.T) Input {
	in := example(t)
	in.Recorded.AllGood, in.Recorded.Years = Amount{50, 50, 50}, 2
	in.Steps[1].Minutes = value(t, "10 min")
	in.Overheads = []Overhead{{Name: "jig", Amount: value(t, "20 EUR"), Per: "once"}}
	other := example(t)
	other.Lines = []Line{priced(t, "tub", "2 EUR")}
	other.Steps[1].Minutes = value(t, "13 min")
	other.Overheads = append([]Overhead{{Name: "mould", Amount: value(t, "100 EUR"), Per: "once"}}, in.Overheads...)
	in.Instead = []Alternative{{Name: "tub", Enclosure: true, Input: other}}
	return in
}

func TestInsteadByHand(t *testing.T) {
	r := run(t, tub(t))
	o := r.Others[0]
	near(t, "saves", o.Saves.Best, 0.68/0.9-2)
	near(t, "once", o.Once, 100)
	near(t, "pays after", o.PaysAfter, math.Ceil(100/(0.68/0.9)))
	near(t, "cost", o.Unit.Total, r.Unit.Total-o.Saves.Best)
	if text := whole(t, r); !strings.Contains(text, "Instead") || !strings.Contains(text, "133 units") {
		t.Error(text)
	}
}

// Somebody who makes one batch only has no use for what a minimum order leaves over: of 40 tubs for 10 units started 30 lie
// about, at 2 EUR each, over 9 good ones.
func TestInsteadWithWhatIsLeftOver(t *testing.T) {
	in := tub(t)
	used := run(t, in).Others[0].Saves.Best
	line := &in.Instead[0].Input.Lines[0]
	line.Minimum = 40
	near(t, "with the rest used later", run(t, in).Others[0].Saves.Best, used)
	in.Unused = true
	near(t, "with the rest lost", run(t, in).Others[0].Saves.Best, used-30*2/9.0)
}

// The rest of the minutes has a spread on both sides: it cancels, but for what the other yield makes of it.
func TestInsteadCancelsWhatIsShared(t *testing.T) {
	in := tub(t)
	in.Steps[0].Minutes = value(t, "1..9 min")
	in.Instead[0].Input.Steps[0].Minutes = in.Steps[0].Minutes
	if is := run(t, in).Others[0].Saves; is.High-is.Low > 1e-6 {
		t.Errorf("%+v: shared minutes have not cancelled", is)
	}
	in.Instead[0].Input.Steps[0].Minutes = value(t, "1..9.5 min")
	if is := run(t, in).Others[0].Saves; is.High-is.Low < 0.5 {
		t.Errorf("%+v: other minutes have cancelled", is)
	}
}

func TestInsteadSortsAndWarns(t *testing.T) {
	in := tub(t)
	dear := in.Instead[0]
	dear.Name, dear.Input.Lines = "gilt", []Line{priced(t, "box", "40 EUR")}
	broken := in.Instead[0]
	broken.Name, broken.Input.Lines = "broken", []Line{{Name: "box"}}
	in.Instead = []Alternative{dear, broken, in.Instead[0]}
	r := run(t, in)
	if len(r.Others) != 2 || r.Others[0].Name != "tub" || r.Others[1].Name != "gilt" {
		t.Errorf("%+v", r.Others)
	}
	if text := whole(t, r); !strings.Contains(text, "Not compared: the variant broken: a figure of box is missing") {
		t.Error(text)
	}
}
