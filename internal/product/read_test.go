package product

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"hindwatt/internal/quantity"
)

const alder = "testdata/alder-12"

func readAlder(t testing.TB, options ...Option) *Folder {
	t.Helper()
	f, err := Read(alder, options...)
	if err != nil {
		t.Fatal(err.(Errors).Detail())
	}
	return f
}

// Every key of the schema is decoded: the folder uses each, and each is set.
func TestEveryKeyIsRead(t *testing.T) {
	f := readAlder(t)
	if len(f.RecordErrors) > 0 || len(f.Warnings) > 0 {
		t.Error(f.RecordErrors.Detail(), f.Warnings)
	}
	p, _ := f.Resolve("")
	set := map[string]bool{}
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() && v.Type() != reflect.TypeFor[*Folder]() {
				walk(v.Elem())
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Map:
			for _, k := range v.MapKeys() {
				walk(v.MapIndex(k))
			}
		case reflect.Struct:
			if v.Type() == reflect.TypeFor[Leaf]() {
				if origin := v.FieldByName("Origin"); origin.FieldByName("start").Uint() > 0 {
					at := origin.FieldByName("at").Elem()
					set[at.FieldByName("file").Elem().FieldByName("Name").String()+" "+at.FieldByName("key").String()] = true
				}
				return
			}
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		}
	}
	for _, v := range []any{*p, f.Records, f.Decisions, f.Variants, f.Changes, f.Runs} {
		walk(reflect.ValueOf(v))
	}
	for _, k := range Keys() {
		found := false
		for at := range set {
			file, key, _ := strings.Cut(at, " ")
			found = found || matches(k.File, file) && matches(k.Path, key)
		}
		if !found {
			t.Errorf("%s: %s (%s %s) was not read", k.File, k.Path, k.Kind, k.What)
		}
	}
}

// matches compares part by part; NAME is any.
func matches(pattern, s string) bool {
	a, b := strings.FieldsFunc(pattern, parting), strings.FieldsFunc(s, parting)
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] && a[i] != "NAME" {
			return false
		}
	}
	return true
}

func parting(r rune) bool { return r == '.' || r == '/' }

func TestValues(t *testing.T) {
	f := readAlder(t)
	p, err := f.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	hut := p.Installations.Get("hut")
	for _, c := range []struct{ got, want any }{
		{p.Sense.Top.String(), "60 kΩ ±1 % ±100 ppm/K"},
		{p.Sense.Top.Value, 60e3},
		{p.Sense.Top.Quantity.High, 60.6e3},
		{p.Sense.Top.Origin.String(), "product.toml:37"},
		{p.Sense.Top.Key(), "sense.top"},
		{p.Regulation.Absorption.Level.Value, 14.4},
		{p.Regulation.Absorption.Time.Value, 7200.0},
		{p.Regulation.Float.Time, quantity.Quantity{}},
		{p.Sense.Reference.Supply, false},
		{p.Sense.Bits.N, 10},
		{len(p.Chemistry.Items), 1},
		{p.Chemistry.Items[0].Is("flooded"), true},
		{p.Sense.Trimmed.None, false},
		{p.Sense.Trimmed.At.Items[1].Value, 14.4},
		{p.Sense.Trimmed.By.Meter, ""},
		{p.Sense.Trimmed.By.Accuracy.Digits, 2.0},
		{p.Enclosures.Get("case").Wall.Material, "aluminium"},
		{p.Enclosures.Get("case").Wall.Thickness.Value, 1.5e-3},
		{p.Enclosures.Get("case").Absorptance.Value, 0.6},
		{len(p.Enclosures.Get("case").Size.Lengths), 3},
		{p.Circuit.Get("q1").Drain.Text, "n2"},
		{p.Parts.Get("sb10").Diode.Drops.Items[1].Voltage.Value, 0.42},
		{p.Parts.Get("sb10").Diode.Drops.Items[2].Current.Value, 5.0},
		{p.Parts.Get("sb10").Mosfet == nil, true},
		{p.Parts.Get("pfet60").Mosfet.Stages.Items[1].Time.Value, 0.02},
		{p.Parts.Get("fuse7").Fuse.Points.Items[0].Time.Value, 60.0},
		{p.Production.BOM.Get("case").Prices.Breaks[1].Price.Currency, "USD"},
		{p.Production.BOM.Get("case").Prices.Breaks[2].From, 100},
		{p.Production.Rates.Get("USD").Value, 0.92},
		{p.Promises.Get("touch").Ends.Accepted, []string{"unharmed", "recovers"}},
		{p.Promises.Get("touch").Safety.On, true},
		{p.Promises.Get("float").Within.Low, -0.2},
		{hut.Loads.Get("lamp").From.AfterMidnight, 18*time.Hour + 30*time.Minute},
		{hut.Sun.Items[0].Value, 1.2 * 3.6e6},
		{hut.Lead.Panel.Length.Value, 4.0},
		{p.Meters.Get("bench-1").Temperature.Digit.Value, 0.1},
		{p.Meters.Get("bench-1").LastCheck.Day, time.Date(2024, 2, 12, 0, 0, 0, 0, time.UTC)},
		{f.Records.Made[2].Count.Low, 90.0},
		{f.Records.Made[1].Note.Text, "µ, again"},
		{f.Records.Returned[0].Found.Text, "fault"},
		{f.Records.Hours[0].Time.Value, 3 * 3600.0},
		{f.Records.Readings[0].Value.String(), "13.52 V"},
		{f.Records.Readings[0].Value.Origin.String(), "records/readings.csv:2"},
		{f.Decisions.Get("why-gel").Body, "Gel was asked for.\n"},
		{f.Decisions.Get("why-gel").Date.Origin.String(), "decisions/why-gel.md:2"},
		{strings.Join(p.Circuit.Names()[:3], " "), "f1 w1 t1"},
	} {
		if !reflect.DeepEqual(c.got, c.want) {
			t.Errorf("got %v, want %v", c.got, c.want)
		}
	}
}

func TestLacks(t *testing.T) {
	f := readAlder(t, With("product.toml", []byte("name = \"bare\"\n[circuit]\nq1 = { part = \"pfet60\" }\n")), With("promises.toml", nil),
		With("variants/first.toml", []byte("[add]\n\"parts.part.sb5\" = { kind = \"diode\" }\n")), With("variants/gel.toml", nil), With("decisions/why-gel.md", nil), With("records/made.csv", nil), With("records/returned.csv", nil), With("records/readings.csv", nil))
	p, _ := f.Resolve("")
	v, _ := f.Resolve("first")
	for _, c := range []struct {
		l    Leaf
		want string
	}{
		{p.Sense.Top.Leaf, "product.toml: sense.top is missing"},
		{p.Sense.Leaf, "product.toml: sense is missing"},
		{p.Sense.Lead.Area.Leaf, "product.toml: sense.lead.area is missing"},
		{p.Sense.Trimmed.At.Leaf, "product.toml: sense.trimmed.at is missing"},
		{p.Circuit.Get("q1").Drain.Leaf, "product.toml: circuit.q1.drain is missing"},
		{p.Promises.Leaf, "promises.toml: promise is missing"},
		{p.Parts.Get("sb10").Note.Leaf, "parts.toml: part.sb10.note is missing"},
		{p.Production.Overheads.Get("workshop").Leaf, ""},
		{v.Parts.Get("sb5").Diode.Tempco.Leaf, `variants/first.toml: add."parts.part.sb5".tempco is missing`},
	} {
		got := ""
		if !c.l.Set() {
			got = c.l.Lack().String()
		}
		if got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
}

func TestResolve(t *testing.T) {
	f := readAlder(t)
	for _, c := range []struct {
		variant  string
		want     string
		revision string
	}{
		{"", "2.5 V ±0.4 % ±50 ppm/K product.toml:39 sense.reference bits 10 trimmed true false touch true d1 sb10 product.toml:83 flooded rise 2", "B"},
		{"B", "2.5 V ±0.4 % ±50 ppm/K product.toml:39 sense.reference bits 10 trimmed true false touch true d1 sb10 product.toml:83 flooded rise 2", "B"},
		{"first", `2.5 V ±1 % ±50 ppm/K variants/first.toml:8 set."product.sense.reference" bits 12 trimmed true true touch false d1 sb10 product.toml:83 flooded rise 2`, "A"},
		{"A", `2.5 V ±1 % ±50 ppm/K variants/first.toml:8 set."product.sense.reference" bits 12 trimmed true true touch false d1 sb10 product.toml:83 flooded rise 2`, "A"},
		{"gel", `2.5 V ±0.5 % variants/gel.toml:6 set."product.sense.reference" bits 12 trimmed true true touch false d1 sb5 variants/gel.toml:4 gel rise 4`, ""},
	} {
		p, err := f.Resolve(c.variant)
		if err != nil {
			t.Errorf("%s: %v", c.variant, err)
			continue
		}
		got := fmt.Sprint(p.Sense.Reference.String(), " ", p.Sense.Reference.Origin, " ", p.Sense.Reference.Key(), " bits ", p.Sense.Bits.N, " trimmed ", p.Sense.Trimmed.Set(), " ", p.Sense.Trimmed.None,
			" touch ", p.Promises.Get("touch") != nil, " d1 ", p.Circuit.Get("d1").Part.Text, " ", p.Circuit.Get("d1").Part.Origin, " ", p.Chemistry.Items[0].Text, " rise ", p.Installations.Get("hut").Battery.Rise.Value)
		if got != c.want || p.Revision.Text != c.revision {
			t.Errorf("%q:\n got %s, revision %q\nwant %s, revision %q", c.variant, got, p.Revision.Text, c.want, c.revision)
		}
	}
	for variant, want := range map[string]string{
		"frist": `variants: "frist": there is no such variant; did you mean first`,
		"x":     `variants: "x": there is no such variant; want first, gel, finer or plain`,
	} {
		if _, err := f.Resolve(variant); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", variant, err, want)
		}
	}
}

func TestRevision(t *testing.T) {
	f := readAlder(t)
	day := func(s string) time.Time {
		d, _ := time.Parse(time.DateOnly, s)
		return d
	}
	for _, c := range []struct{ date, serial, want string }{
		{"2022-03-01", "", "A"},
		{"2023-04-30", "", "A"},
		{"2023-05-01", "", ""}, // between the two
		{"2023-05-02", "", "B"},
		{"2022-02-28", "", ""},
		{"2030-01-01", "", "B"},
		{"", "A-0001", "A"},
		{"", "A-0100", "A"},
		{"", "A-0101", "B"},
		{"", "A-99", "A"},
		{"2022-03-01", "A-0500", "B"}, // the serial knows better than the day
		{"2022-03-01", "B-0500", "A"}, // another series: only the day tells
		{"", "B-0500", ""},
		{"", "", ""},
	} {
		r, _ := f.Revision(day(c.date), c.serial)
		if r.Name != c.want {
			t.Errorf("%s %s: %q, want %q", c.date, c.serial, r.Name, c.want)
		}
	}
}

func TestDemoIsWithoutFault(t *testing.T) {
	f, err := Read("../../demo/osier-24")
	if err != nil {
		t.Fatal(err)
	}
	if len(f.RecordErrors) > 0 || len(f.Records.Made) < 1000 {
		t.Errorf("%d rows made; %v", len(f.Records.Made), f.RecordErrors)
	}
}
