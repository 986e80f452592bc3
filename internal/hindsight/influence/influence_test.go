package influence

import (
	"context"
	"math"
	"os"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"hindwatt/internal/hindsight/figures"
	"hindwatt/internal/product"
	"hindwatt/internal/promise"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
)

// begin is the work on a figure of the example, its inputs with a tolerance at their nominal.
func begin(t testing.TB, study, name string) *work {
	t.Helper()
	f, err := product.Read("../../../demo/osier-24")
	if err != nil {
		t.Fatal(err)
	}
	w := &work{Asked: Asked{Setup: figures.Setup{Folder: f, Seed: 1}, Figure: figures.Name{Study: study, Quantity: name}}, result: &Result{}}
	if w.product, err = w.Product(); err != nil {
		t.Fatal(err)
	}
	for _, in := range w.product.Inputs() {
		if in.Spread != quantity.Exact {
			w.nominal = append(w.nominal, product.Put{Path: in.Path, Source: in.Written(in.Value)})
		}
	}
	base, err := w.figure(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	w.result.Base, w.result.Dim, w.result.Unit = base.Best, base.Dim, base.Unit
	return w
}

func (w *work) inputs(t testing.TB, names ...string) (list []product.Input) {
	t.Helper()
	for _, name := range names {
		in, err := figures.FindInput(w.product, name)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, in)
	}
	return list
}

// Our time in one good unit is a sum over the steps, each by its minutes, allowance, scrap and rework, so that what a step's range of
// minutes moves is linear in it: the low end moves it down by as much as the high end moves it up. A step's minutes are at least those
// that are worked once in a unit, with their allowance of 12 %: docs/models.md, Production.
func TestMinutesMoveTheSum(t *testing.T) {
	w := begin(t, "production", "unit-minutes")
	names := []string{"production.step.solder.minutes", "production.step.pack.minutes", "parts.part.nfet100.on_resistance"}
	if err := w.changes(context.Background(), w.inputs(t, names...)); err != nil {
		t.Fatal(err)
	}
	r := w.result
	if len(r.Changes) != 2 || r.Changes[0].Path != names[0] || r.Changes[1].Path != names[1] || len(r.Still) != 1 || r.Still[0].Path != names[2] {
		t.Fatalf("changes %+v, still %+v", r.Changes, r.Still)
	}
	for i, half := range []float64{1.25 * 60 * 1.12, 0.4 * 60 * 1.12} {
		down, up := r.Base-r.Changes[i].Low.Figure, r.Changes[i].High.Figure-r.Base
		if math.Abs(down-up) > 1e-6*up || up < half || up > 1.3*half {
			t.Errorf("%s moves it by -%v, +%v s; want both alike, %v or somewhat more", r.Changes[i].Path, down, up, half)
		}
	}
}

// A figure that is a sum has first and total indices in proportion to the squares of what each input alone moves, since all are rectangular.
func TestSharesOfASum(t *testing.T) {
	w := begin(t, "production", "unit-minutes")
	w.Rows = 256
	loose := w.inputs(t, "production.step.solder.minutes", "production.step.power.minutes", "production.step.pack.minutes")
	if err := w.changes(context.Background(), loose); err != nil {
		t.Fatal(err)
	}
	if err := w.shares(context.Background(), loose); err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, c := range w.result.Changes {
		sum += math.Pow(c.High.Figure-c.Low.Figure, 2)
	}
	s := w.result.Shares
	for i, c := range w.result.Changes {
		want := math.Pow(c.High.Figure-c.Low.Figure, 2) / sum
		first, total := s.Index[i].First, s.Index[i].Total
		if s.Inputs[i].Path != c.Path || math.Abs(first.Best-want) > 4*(first.High-first.Low)/3.92 || math.Abs(total.Best-want) > 4*(total.High-total.Low)/3.92 {
			t.Errorf("%s: %+v; want %.3f", c.Path, s.Index[i], want)
		}
	}
	if got, want := w.result.Together, 1.959964*math.Sqrt(sum/12); math.Abs(got/want-1) > 1e-6 {
		t.Errorf("together %v; want %v", got, want)
	}
	// the sum of three independent rectangular numbers: JCGM 100, 4.3.7 and 5.1.2
	if u := math.Sqrt(sum / 12); math.Abs(s.SD/u-1) > 4/math.Sqrt(4*256) {
		t.Errorf("standard deviation %v; want %v", s.SD, u)
	}
	if r := w.result.Page(); len(r.Tables) != 2 || !strings.Contains(strings.Join(r.Answer, " "), "Of its variance") {
		t.Errorf("%+v", r)
	}
}

// What a unit costs is linear in what an hour is worth, and so is the upper end of its interval, which the promise of at most 45 EUR is
// judged by: two points of that line say where the promise would be kept.
func TestCostTurnsWhereItsLineDoes(t *testing.T) {
	w := begin(t, "production", "unit-cost")
	end := func(source string) float64 {
		p, err := w.Product(product.Put{Path: "production.work.hour", Source: source})
		if err != nil {
			t.Fatal(err)
		}
		j, err := promise.One(context.Background(), p, "unit-cost", promise.Briefly{}, w.Options())
		if err != nil {
			t.Fatal(err)
		}
		return calculatedOf(j)[0].High
	}
	a, b := end(`"24 EUR/h"`), end(`"20 EUR/h"`)
	want := 20 + 4*(45-b)/(a-b)
	one, err := w.promise(context.Background(), "unit-cost", w.product.Promises.Get("unit-cost"), w.inputs(t, "production.work.hour", "production.work.price"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(one.Flips) != 1 || one.Calculated != promise.NotMet || math.Abs(one.Flips[0].At*3600-want) > 0.01*(24-want) {
		t.Errorf("%+v; want %v EUR/h", one, want)
	}
	if len(one.Holds) != 1 || one.Holds[0].Path != "production.work.price" {
		t.Errorf("holds %+v", one.Holds)
	}
	text := one.says()
	if !strings.Contains(text, "would be kept if production.work.hour falls below 19.6 EUR/h") {
		t.Error(text)
	}
}

// Only what the study reads is an input of it.
func TestWhatIsRead(t *testing.T) {
	w := begin(t, "setpoint", "float-error")
	all, err := w.read(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	read := map[string]bool{}
	for _, in := range all {
		read[in.Path] = true
	}
	for path, want := range map[string]bool{"product.sense.top": true, "product.regulation.float": true, "product.sense.sensor_error": true,
		"production.work.hour": false, "installations.hot-ford.panel.tilt": false, "product.enclosure.case.emissivity": false, "parts.part.sb20.tempco": false} {
		if read[path] != want {
			t.Errorf("%s is read: %v; want %v", path, read[path], want)
		}
	}
}

func TestSameOnAnyCores(t *testing.T) {
	was := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(was)
	run := func() *Result {
		w := begin(t, "setpoint", "float-error")
		w.Rows = 64
		loose := w.inputs(t, "product.sense.top", "product.sense.offset", "product.sense.sensor_error")
		if err := w.changes(context.Background(), loose); err != nil {
			t.Fatal(err)
		}
		if err := w.shares(context.Background(), loose); err != nil {
			t.Fatal(err)
		}
		return w.result
	}
	one := run()
	runtime.GOMAXPROCS(4)
	if many := run(); !reflect.DeepEqual(one, many) {
		t.Errorf("one core %+v, four %+v", one, many)
	}
}

func TestInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	w := begin(t, "setpoint", "float-error")
	if _, err := Of(ctx, w.Asked); err == nil {
		t.Error("an interrupted computation gave a result")
	}
}

// Where an end of a tolerance takes the study to where it has no figure, that is said, and the input stands first.
func TestEndWithoutAFigure(t *testing.T) {
	w := begin(t, "setpoint", "float-error")
	loose := w.inputs(t, "product.sense.sensor_error", "product.regulation.float")
	loose[1].Spread, loose[1].Low, loose[1].High = quantity.Limits, 27, 900 // far above what the converter can read
	if err := w.changes(context.Background(), loose); err != nil {
		t.Fatal(err)
	}
	r := w.result
	if len(r.Changes) != 2 || r.Changes[0].Path != "product.regulation.float" || r.Changes[0].High.Failed == "" || r.Changes[0].Low.Failed != "" {
		t.Fatalf("%+v", r.Changes)
	}
	shown := r.Page()
	if len(shown.Warnings) != 1 || !strings.Contains(shown.Warnings[0].Text, "With product.regulation.float at its high end, 900 V, there is no figure") || shown.Tables[0].Rows[0][3] != "no figure" {
		t.Errorf("%+v", shown)
	}
	if data, err := r.JSON(); err != nil || !strings.Contains(string(data), `"high": null`) {
		t.Errorf("%s, %v", data, err)
	}
	var csv strings.Builder
	if err := r.CSV(&csv); err != nil || !strings.Contains(csv.String(), ",V,") || strings.Contains(csv.String(), "NaN") {
		t.Errorf("%s, %v", csv.String(), err)
	}
}

// What was answered before is found, until something that the study reads has changed.
func TestKept(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../../demo/osier-24")); err != nil {
		t.Fatal(err)
	}
	store := kept.Open(dir)
	ask := func(settings ...product.Setting) *Result {
		f, err := product.Try(dir, settings...)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Of(context.Background(), Asked{Setup: figures.Setup{Folder: f, Seed: 1}, Figure: figures.Name{Study: "production", Quantity: "week"}, Kept: store})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	first, again := ask(), ask(product.Setting{File: "product.toml", Key: "regulation.float", Text: "27.4 V"}) // which production does not read
	if tally := store.Tally()["sensitivity"]; tally != (kept.Tally{Found: 1, Computed: 1}) || !reflect.DeepEqual(first, again) {
		t.Errorf("%+v", tally)
	}
	other := ask(product.Setting{File: "production.toml", Key: "work.week", Text: "10 h"})
	if tally := store.Tally()["sensitivity"]; tally.Computed != 2 || math.Abs(other.Base-first.Base/2) > 1e-9 {
		t.Errorf("%+v: %v in half of the hours, %v before", tally, other.Base, first.Base)
	}
}

// A promise of each unit turns where its verdict does, though few units and the interval that is drawn say otherwise: at nine tenths of
// the drift it is met, at eleven tenths it is not.
func TestDriftTurnsTheVerdict(t *testing.T) {
	w := begin(t, "setpoint", "float-error")
	asked := w.product.Promises.Get("float")
	one, err := w.promise(context.Background(), "float", asked, nil, w.inputs(t, "product.sense.reference", "product.sense.top"))
	if err != nil {
		t.Fatal(err)
	}
	if len(one.Flips) != 2 || len(one.Holds) != 2 {
		t.Fatalf("%+v", one)
	}
	for _, f := range one.Flips {
		if f.Of != "drift" || !strings.HasPrefix(f.Wide, "±") || !strings.HasSuffix(f.Wide, " ppm/K") {
			t.Errorf("%+v", f)
		}
		in := w.inputs(t, f.Path)[0]
		for _, times := range []float64{0.9, 1.1} {
			p, err := w.Product(product.Put{Path: f.Path, Source: in.Widened(1, times*f.At)})
			if err != nil {
				t.Fatal(err)
			}
			j, err := promise.One(context.Background(), p, "float", promise.Briefly{Unmeasured: true}, w.Options())
			if err != nil {
				t.Fatal(err)
			}
			if met := calculated(j) == promise.Met; met != (times < 1) {
				t.Errorf("%s at %v times %v of its drift is %s", f.Path, times, f.At, calculated(j))
			}
		}
	}
	if text := one.says(); !strings.Contains(text, "would be kept if the drift of product.sense.reference is less than ±") {
		t.Error(text)
	}
}
