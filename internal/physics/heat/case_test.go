package heat

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// plastic is a box of 100 × 68 × 40 mm.
func plastic() Case {
	return Case{Name: "case", Body: Body{Size: [3]float64{0.1, 0.068, 0.04}}, Wall: "abs", Thickness: 2e-3, Emissivity: 0.9, Inside: -1}
}

// sleeve is one of 60 × 30 × 12 mm.
func sleeve() Case {
	return Case{Name: "sleeve", Body: Body{Shape: SleeveShape, Size: [3]float64{0.06, 0.03, 0.012}}, Wall: "polyolefin", Thickness: 1e-3, Emissivity: 0.9, Inside: -1}
}

// with solves one case with one part of 1.5 K/W from junction to case.
func with(t *testing.T, c Case, watts, celsius float64, around Around) *Assembly {
	t.Helper()
	a, err := Assemble([]Case{c}, []Part{{Name: "q1", JunctionToCase: 1.5}}, around)
	if err != nil {
		t.Fatal(err)
	}
	a.SetHeat(a.Junction[0], watts)
	if err := a.Solve(Celsius0 + celsius); err != nil {
		t.Fatal(err)
	}
	return a
}

// Computed independently (MODELS F2): 3.2 to 3.8 K/W of a sealed plastic box at 1 to 3 W, 40 °C; inside air some 20 to 25 K above
// the ambient at 3 W; a sleeve 7.6, 14 and 25 K at 0.5, 1 and 2 W, by formulas simplified for small parts: within 15 %.
func TestBoxAndSleeve(t *testing.T) {
	for _, watts := range []float64{1, 2, 3} {
		a := with(t, plastic(), watts, 40, Around{})
		if r := (a.Temperature(a.Surface[0]) - Celsius0 - 40) / watts; r < 3.1 || r > 3.9 {
			t.Errorf("box, %g W: %.2f K/W", watts, r)
		}
	}
	a := with(t, plastic(), 3, 40, Around{})
	if rise := a.Temperature(a.Inner[0]) - Celsius0 - 40; rise < 18 || rise > 27 {
		t.Errorf("inside air %.1f K", rise)
	}
	for watts, want := range map[float64]float64{0.5: 7.6, 1: 14, 2: 25} {
		a := with(t, sleeve(), watts, 40, Around{})
		near(t, "sleeve", a.Temperature(a.Surface[0])-Celsius0-40, want, 0.15*want)
	}
}

// Common practice, no source: a small potted or sleeved unit runs tens of kelvin above the air at a few watts.
func TestSmallUnitsRunTensOfKelvinAboveTheAir(t *testing.T) {
	tub := Case{Name: "tub", Body: Body{Size: [3]float64{0.06, 0.04, 0.02}}, Wall: "abs", Thickness: 1.5e-3, Emissivity: 0.9, Filling: Potted, Inside: -1}
	for _, c := range []Case{tub, sleeve()} {
		a := with(t, c, 3, 25, Around{})
		surface, junction := a.Temperature(a.Surface[0])-Celsius0-25, a.Temperature(a.Junction[0])-Celsius0-25
		if surface < 15 || surface > 50 || junction < 30 || junction > 200 {
			t.Errorf("%s: surface %.1f K, junction %.1f K", c.Name, surface, junction)
		}
	}
}

// What changes an enclosure for the better or for the worse, in the direction that practice knows.
func TestDirections(t *testing.T) {
	surface := func(change func(*Case)) float64 {
		c := plastic()
		change(&c)
		a := with(t, c, 3, 40, Around{})
		return a.Temperature(a.Surface[0])
	}
	junction := func(change func(*Case)) float64 {
		c := plastic()
		change(&c)
		a := with(t, c, 3, 40, Around{})
		return a.Temperature(a.Junction[0])
	}
	plain := func(*Case) {}
	for _, c := range []struct {
		what           string
		cooler, hotter float64
	}{
		{"on metal", surface(func(c *Case) { c.Mount = OnMetal }), surface(plain)},
		{"free rather than on wood", surface(plain), surface(func(c *Case) { c.Mount = OnWood })},
		{"painted rather than bare", surface(plain), surface(func(c *Case) { c.Emissivity = 0.1 })},
		{"potted rather than air", junction(func(c *Case) { c.Filling = Potted }), junction(plain)},
		{"filled potting", junction(func(c *Case) { c.Filling, c.FillingConductivity = Potted, 0.8 }), junction(func(c *Case) { c.Filling = Potted })},
		{"twice the copper", junction(func(c *Case) { c.Copper = 70e-6 }), junction(plain)},
		{"with leads", junction(func(c *Case) { c.Leads = []Lead{{2.5e-6, 4e-3, 1}, {2.5e-6, 4e-3, 1}} }), junction(plain)},
		{"a larger board", junction(plain), junction(func(c *Case) { c.Board = [2]float64{0.03, 0.03} })},
	} {
		if !(c.cooler < c.hotter-0.1) {
			t.Errorf("%s: %.2f and %.2f °C", c.what, c.cooler-Celsius0, c.hotter-Celsius0)
		}
	}
	sea, high := with(t, plastic(), 3, 40, Around{}), with(t, plastic(), 3, 40, Around{Altitude: 3000})
	if !(high.Temperature(high.Surface[0]) > sea.Temperature(sea.Surface[0])+0.5) {
		t.Error("thin air cools as well as that at the sea")
	}
	black := plastic()
	black.Absorptance = 0.95
	sun := with(t, black, 3, 40, Around{Irradiance: 1000})
	if rise := sun.Temperature(sun.Surface[0]) - sea.Temperature(sea.Surface[0]); rise < 12 || rise > 22 {
		t.Errorf("the sun adds %.1f K", rise)
	}
}

// Heat in the lead stays outside of the case.
func TestPartOutsideLeavesTheCaseAlone(t *testing.T) {
	a, err := Assemble([]Case{plastic()}, []Part{{Name: "q1", JunctionToCase: 1.5}, {Name: "d1", Case: -1, JunctionToAmbient: 40}}, Around{})
	if err != nil {
		t.Fatal(err)
	}
	a.SetHeat(a.Junction[0], 1)
	a.SetHeat(a.Junction[1], 2)
	if err := a.Solve(313.15); err != nil {
		t.Fatal(err)
	}
	alone := with(t, plastic(), 1, 40, Around{})
	near(t, "surface", a.Temperature(a.Surface[0]), alone.Temperature(alone.Surface[0]), 1e-6)
	near(t, "diode", a.Temperature(a.Junction[1]), 313.15+80, 1e-6)
}

// anyCase draws a case that can be.
func anyCase(r *rapid.T) Case {
	mm := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(r, name) * 1e-3 }
	c := Case{Name: "case", Inside: -1, Wall: rapid.SampledFrom(Materials).Draw(r, "wall").Name, Thickness: mm("thickness", 0.5, 3),
		Emissivity: rapid.Float64Range(0, 1).Draw(r, "emissivity"), Filling: Filling(rapid.IntRange(0, 2).Draw(r, "filling"))}
	c.Shape = Shape(rapid.IntRange(0, 2).Draw(r, "shape"))
	c.Position, c.Mount = Position(rapid.IntRange(0, 1).Draw(r, "position")), Mount(rapid.IntRange(0, 2).Draw(r, "mount"))
	c.Size = [3]float64{mm("length", 20, 200), mm("width", 8, 150), mm("height", 8, 80)}
	return c
}

// state solves a case with a switch and a diode; the state is that of all nodes.
func state(r *rapid.T, c Case, watts, ambient float64) (*Assembly, error) {
	a, err := Assemble([]Case{c}, []Part{{Name: "q1", JunctionToCase: 1.5}, {Name: "u1", JunctionToAmbient: 80}}, Around{})
	if err != nil {
		r.Fatal(err)
	}
	a.SetHeat(a.Junction[0], watts)
	a.SetLoss(a.Junction[1], &Conduction{Current: 1, Resistance: 0.1, Tempco: 0.004, Duty: 1})
	return a, a.Solve(ambient)
}

// Laws that hold for every enclosure: the balance closes, no number is none, more heat or a warmer place is nowhere
// cooler, a larger case has no hotter surface.
func TestLawsOfEnclosures(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := anyCase(r)
		watts, ambient := rapid.Float64Range(0, 10).Draw(r, "watts"), Celsius0+rapid.Float64Range(-40, 80).Draw(r, "celsius")
		a, err := state(r, c, watts, ambient)
		if err != nil {
			if errors.As(err, new(*Runaway)) || errors.As(err, new(*TooHot)) {
				return
			}
			r.Fatal(err)
		}
		made := a.Heat(a.Junction[0]) + a.Heat(a.Junction[1])
		if math.Abs(made-a.GivenOff()) > 1e-9*made {
			r.Fatalf("%v W made, %v given off", made, a.GivenOff())
		}
		more, err1 := state(r, c, watts+0.1, ambient)
		warmer, err2 := state(r, c, watts, ambient+1)
		for i := range a.Len() {
			at := Node(i)
			if now := a.Temperature(at); !(now >= ambient && now <= MaxTemperature) {
				r.Fatalf("%s at %v", a.Name(at), now)
			}
			if err1 == nil && more.Temperature(at) < a.Temperature(at)-1e-7 || err2 == nil && warmer.Temperature(at) < a.Temperature(at)-1e-7 {
				r.Fatalf("%s cools with more heat or in a warmer place", a.Name(at))
			}
		}
		grown := c
		grown.Size[rapid.IntRange(0, 2).Draw(r, "side")] *= 1.2
		if larger, err := state(r, grown, watts, ambient); err == nil && larger.Temperature(larger.Surface[0]) > a.Temperature(a.Surface[0])+1e-7 {
			r.Fatalf("the larger case is at %v, the smaller at %v", larger.Temperature(larger.Surface[0]), a.Temperature(a.Surface[0]))
		}
	})
}

func TestCaseRefuses(t *testing.T) {
	for _, c := range []struct {
		change func(*Case)
		say    string
	}{
		{func(c *Case) { c.Wall = "wood" }, `case: "wood" is no known wall material; want aluminium, steel, abs, polycarbonate, polyamide, pvc, polyolefin, epoxy`},
		{func(c *Case) { c.Thickness = 0.02 }, "case: two walls of 20 mm leave nothing of 40 mm inside; want a thinner wall or a larger case"},
		{func(c *Case) { c.Thickness = 0 }, "case: wall of 0 mm; want more than 0"},
		{func(c *Case) { c.Emissivity = 1.2 }, "case: emissivity of 1.2; want 0..1"},
		{func(c *Case) { c.Emissivity = -0.1 }, "case: emissivity of -0.1; want 0..1"},
		{func(c *Case) { c.Emissivity = math.NaN() }, "case: emissivity of NaN; want 0..1"},
		{func(c *Case) { c.Absorptance = 2 }, "case: absorptance of 2; want 0..1"},
		{func(c *Case) { c.Size[1] = 0 }, "case: size of 0 mm; want more than 0 and at most 10 m"},
		{func(c *Case) { c.Size[2] = -0.01 }, "case: size of -10 mm; want more than 0 and at most 10 m"},
		{func(c *Case) { c.FillingConductivity = -1 }, "case: filling of -1 W/(m·K); want more than 0 and less than 500"},
		{func(c *Case) { c.Copper = 0.1 }, "case: board or copper below 0, or copper above 10 mm; want a size"},
		{func(c *Case) { c.Leads = []Lead{{0, 1e-3, 1}} }, "case: a lead of 0 mm² and 1 m; want more than 0"},
		{func(c *Case) { c.Inside = 0 }, "case: inside itself or an enclosure that is not there; want another enclosure"},
		{func(c *Case) { c.Inside = 5 }, "case: inside itself or an enclosure that is not there; want another enclosure"},
	} {
		box := plastic()
		c.change(&box)
		if _, err := Assemble([]Case{box}, nil, Around{}); err == nil || err.Error() != c.say {
			t.Errorf("got %v\nwant %s", err, c.say)
		}
	}
	potted, inner := plastic(), sleeve()
	potted.Filling, inner.Inside = Potted, 0
	if _, err := Assemble([]Case{potted, inner}, nil, Around{}); err == nil || !strings.Contains(err.Error(), "which is filled solid") {
		t.Errorf("%v", err)
	}
	for _, c := range []struct {
		part Part
		say  string
	}{
		{Part{Name: "d1"}, "d1: no way for its heat; want junction_to_ambient, or junction_to_case and an enclosure"},
		{Part{Name: "d1", Case: -1, JunctionToCase: 2}, "d1: no way for its heat; want junction_to_ambient, or junction_to_case and an enclosure"},
		{Part{Name: "d1", Case: 3, JunctionToCase: 2}, "d1: in an enclosure that is not there; want one of 1"},
		{Part{Name: "d1", JunctionToCase: -2}, "d1: a thermal resistance or footprint below 0; want more than 0"},
	} {
		if _, err := Assemble([]Case{plastic()}, []Part{c.part}, Around{}); err == nil || err.Error() != c.say {
			t.Errorf("got %v\nwant %s", err, c.say)
		}
	}
}

func TestDoubts(t *testing.T) {
	factors := make([]float64, len(Doubts()))
	for i, d := range Doubts() {
		if d.Name == "" || d.Source == "" || !(d.Low > 0 && d.Low < 1 && d.High > 1) {
			t.Errorf("%+v", d)
		}
		factors[i] = d.High
	}
	c := plastic()
	c.Mount, c.Leads = OnWood, []Lead{{2.5e-6, 4e-3, 1}}
	best := with(t, c, 3, 40, Around{})
	before := best.Temperature(best.Junction[0])
	for i := range factors { // each that plays a part cools when it carries more
		one := []float64{1, 1, 1, 1, 1, 1}
		one[i] = factors[i]
		best.SetDoubt(DoubtOf(one))
		if err := best.Solve(313.15); err != nil {
			t.Fatal(err)
		}
		if now := best.Temperature(best.Junction[0]); Doubts()[i].Name != "filling" && !(now < before-0.05) {
			t.Errorf("%s: %.2f, before %.2f °C", Doubts()[i].Name, now-Celsius0, before-Celsius0)
		}
	}
}

// The faces of a body make up its outside but for what the mount covers.
func TestFacesMakeUpTheOutside(t *testing.T) {
	for shape := range Shape(3) {
		for position := range Position(2) {
			for mount := range Mount(3) {
				b := Body{Shape: shape, Size: [3]float64{0.1, 0.06, 0.04}, Position: position, Mount: mount}
				faces, covered := b.Faces()
				sum := covered
				for _, f := range faces {
					sum += f.Area
				}
				near(t, "area", sum, b.Area(), 1e-12)
				if s := b.Surface(0.9, 0, SeaLevel); (covered > 0) != (mount != Free) || math.Abs(s.Radiating-(b.Area()-covered)) > 1e-12 || (s.Mount > 0) != (mount != Free) {
					t.Errorf("%+v: covered %v, %+v", b, covered, s)
				}
			}
		}
	}
	near(t, "a tube of 100 × 60 mm", Body{Shape: TubeShape, Size: [3]float64{0.1, 0.06}}.Area(), math.Pi*0.06*0.1+2*math.Pi*0.03*0.03, 1e-12)
}

// A case in another: its heat passes both walls, so that the outer one is as warm as if the part sat in it, and the inner one warmer.
func TestCaseInsideAnother(t *testing.T) {
	inner := sleeve()
	inner.Inside, inner.Absorptance = 0, 0.9
	a, err := Assemble([]Case{plastic(), inner}, []Part{{Name: "q1", Case: 1, JunctionToCase: 1.5}}, Around{Irradiance: 500})
	if err != nil {
		t.Fatal(err)
	}
	a.SetHeat(a.Junction[0], 2)
	if err := a.Solve(313.15); err != nil {
		t.Fatal(err)
	}
	direct, lone := with(t, plastic(), 2, 40, Around{}), with(t, sleeve(), 2, 40, Around{})
	near(t, "outer", a.Temperature(a.Surface[0]), direct.Temperature(direct.Surface[0]), 1e-6) // it takes up no sun
	air := a.Temperature(a.Inner[0])
	if !(air > a.Temperature(a.Surface[0])+5 && a.Temperature(a.Surface[1]) > air+10 && a.Temperature(a.Junction[0]) > lone.Temperature(lone.Junction[0])+8) {
		t.Errorf("inside air %.1f, inner surface %.1f, junction %.1f, alone %.1f °C", air-Celsius0, a.Temperature(a.Surface[1])-Celsius0,
			a.Temperature(a.Junction[0])-Celsius0, lone.Temperature(lone.Junction[0])-Celsius0)
	}
}

// By hand: 40 × 20 mm of board, 5 mm to the walls, 0.25 W/(m·K); the part's own way by the sheet, and half of it in filling.
func TestWaysByHand(t *testing.T) {
	c := Case{Name: "tub", Body: Body{Size: [3]float64{0.05, 0.03, 0.0136}}, Wall: "abs", Thickness: 1e-3, Emissivity: 0.9, Filling: Potted, Inside: -1,
		Board: [2]float64{0.04, 0.02}}
	near(t, "potting", c.FillingConductance(), 0.25*(2*8e-4/5e-3+0.54*2*0.06), 1e-12)
	near(t, "wall", c.WallConductance(), 0.18*math.Sqrt(c.Area()*c.Inner(1e-3).Area())/1e-3, 1e-12)
	part := []Part{{Name: "u1", JunctionToAmbient: 80}}
	potted, err := Assemble([]Case{c}, part, Around{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "in potting", potted.Resistance(0), 40, 1e-9)
	c.Filling = AirFilled
	open, err := Assemble([]Case{c}, part, Around{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "in air", open.Resistance(0), 80, 1e-9)
	near(t, "plate that looks up", PlateUp(1e4), 5.4, 1e-12)
	near(t, "in parallel plates", Between(0.8, 0.5, 1), 1/(1/0.8+1/0.5-1), 1e-15)
}
