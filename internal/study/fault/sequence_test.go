package fault

import (
	"math"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/hardware"
	"hindwatt/internal/physics/conductor"
)

// TestFuseAcrossStages: what earlier stages melt of a fuse counts in later ones, whatever they would have ended in: the sum of time over
// melting time is 1 (time-current points and I²t as IEC 60127-1 defines them; that shares add up is common practice, no source).
func TestFuseAcrossStages(t *testing.T) {
	in := osier(t)
	at := slices.IndexFunc(in.Design.Components, func(c hardware.Component) bool { return c.Name == "f1" })
	f := in.Design.Components[at].Fuse
	link := conductor.Fuse{Rating: f.Rating.Value}
	if f.MeltingIntegral != nil {
		link.MeltingIntegral = f.MeltingIntegral.Value
	}
	for _, p := range f.Points {
		link.Points = append(link.Points, conductor.Point{Current: p.Current, Time: p.Time})
	}
	in.Only = []string{"battery reversed", "load shorted"}
	melted := 0
	for _, o := range run(t, in).Outcomes {
		sum := 0.0
		for _, s := range o.Stages {
			if amps := math.Abs(s.Flows[at]); amps > link.Rating {
				time, err := link.Time(amps)
				if err != nil {
					t.Fatal(err)
				}
				sum += (s.Until - s.From) / time
			}
			if len(s.Gives) > 0 && s.Gives[0].Of == "melting" {
				melted++
				if math.Abs(sum-1) > 1e-5 { // flows are means of a cycle, a link feels their square
					t.Errorf("%s, %s: f1 melts after %g of what it takes, want 1", o.Case.Name, o.State.Name, sum)
				}
			}
		}
	}
	if melted < 8 {
		t.Errorf("f1 melts %d times, want 8 or more", melted)
	}
}

// TestLeadParts: a lead that nothing protects loses its insulation and then its copper, by Onderdonk's equation, and no current is left.
func TestLeadParts(t *testing.T) {
	in := osier(t)
	in.Only = []string{"battery leads touched"}
	r := run(t, in)
	for _, o := range r.Outcomes {
		if o.State.Name == "unpowered" {
			continue
		}
		last := o.Stages[len(o.Stages)-1]
		if o.End != Hazard || len(o.Stages) != 3 || last.Battery != 0 {
			t.Errorf("%s: %s in %d stages, %g A at last; want a hazard in 3, and no current", o.State.Name, o.End, len(o.Stages), last.Battery)
			continue
		}
		amps, when := o.Stages[0].Battery, o.Stages[1].Gives[0]
		at, err := conductor.FusingCurrent(2.5e-6, when.At, r.world.ambient)
		if err != nil {
			t.Fatal(err)
		}
		if when.Of != "copper" || when.Become != "open" || math.Abs(math.Abs(amps)/at-1) > 1e-9 {
			t.Errorf("%s: %s at %g s of %g A, want copper at %g A", o.State.Name, when.Of, when.At, amps, at)
		}
	}
}

// TestWorstVoltageTold: a load that is reversed by several volts before z1 goes short is told of those, not of the volt that is left.
func TestWorstVoltageTold(t *testing.T) {
	in := osier(t)
	in.Only = []string{"battery reversed"}
	for _, o := range run(t, in).Outcomes {
		for _, s := range o.Stages {
			for _, g := range s.Gives {
				if g.Part == "load" && !strings.Contains(g.Text, " (6.") && !strings.Contains(g.Text, " (7.") {
					t.Errorf("%s: %s", o.State.Name, g.Text)
				}
			}
		}
	}
}

// TestWeakLeadParts: what does not melt a lead in 5 s melts it in a minute if it is more than Preece's current; nothing flows for an hour
// through copper that glows.
func TestWeakLeadParts(t *testing.T) {
	in := ready(t, "series-negative")
	in.Only, in.Battery.Resistance = []string{"battery leads touched"}, given("30 mΩ")
	o := run(t, in).at(t, in.Only[0], "dark")
	amps := -o.Stages[0].Battery
	steady, _ := conductor.SteadyFusing(leadArea)
	fast, _ := conductor.FusingCurrent(leadArea, conductor.Longest, usualAmbient)
	last := o.Stages[len(o.Stages)-1]
	if amps <= steady || amps >= fast || last.Battery != 0 || last.From > 100 {
		t.Errorf("%g A between %g and %g; at last %g A from %g s on", amps, steady, fast, last.Battery, last.From)
	}
}

// TestBesideSensor: the resistor that makes a divider with the sensor misleads the control as the sensor itself does, the other way round.
func TestBesideSensor(t *testing.T) {
	in := osier(t)
	in.Only = []string{"r4 open", "r4 short", "th1 open", "th1 short"}
	r := run(t, in)
	const state = "full sun, holding"
	for r4, th1 := range map[string]string{"r4 open": "th1 short", "r4 short": "th1 open"} {
		a, b := r.at(t, r4, state), r.at(t, th1, state)
		if a.End != b.End || a.Text != b.Text {
			t.Errorf("%s: %s; %s: %s", r4, a.Text, th1, b.Text)
		}
	}
	if r.at(t, "r4 open", state).Text == r.at(t, "r4 short", state).Text {
		t.Error("hot and cold are alike")
	}
}
