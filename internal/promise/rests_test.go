package promise

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"hindwatt/internal/bind"
	"hindwatt/internal/figure"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

// everything is all that a report and the studies say, as the terminal and JSON have it.
func everything(t *testing.T, folder *product.Folder, store *kept.Store, verdictsOnly bool) string {
	t.Helper()
	p, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	report, err := Check(context.Background(), p, Options{Seed: 1, VerdictsOnly: verdictsOnly, Kept: store})
	if err != nil {
		t.Fatal(err)
	}
	text, err := report.JSON()
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	out.Write(text)
	site := report.Site()
	if err := site.Text(&out, 100, figure.TextStyle{ASCII: true}); err != nil {
		t.Fatal(err)
	}
	if err := site.HTML(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// computed lists the studies of which something was computed, and those of which all was found.
func computed(store *kept.Store) (names []string) {
	for name, tally := range store.Tally() {
		if tally.Computed > 0 {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// The example from an empty store and from a full one, and on one core: the same to the last byte. Of the charge study one core
// computes the verdicts alone.
func TestKeptResultsAreTheSame(t *testing.T) {
	if testing.Short() {
		t.Skip("twice all studies")
	}
	folder := example(t)
	want := everything(t, folder, kept.Open(folder.Dir), false)
	warm := kept.Open(folder.Dir)
	if got := everything(t, folder, warm, false); got != want {
		t.Errorf("a full store changes what is told: %s", firstDifference(got, want))
	}
	if again := computed(warm); again != nil {
		t.Errorf("computed again with nothing changed: %v", again)
	}
	verdicts := everything(t, folder, warm, true)
	answers := answersOf(t, folder, warm)
	if err := os.RemoveAll(filepath.Join(folder.Dir, kept.Dir)); err != nil {
		t.Fatal(err)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if got := everything(t, folder, nil, true); got != verdicts {
		t.Errorf("one core without a store: %s", firstDifference(got, verdicts))
	}
	if got := answersOf(t, folder, nil); got != answers {
		t.Errorf("one core without a store: %s", firstDifference(got, answers))
	}
}

// answersOf are the answers of all studies but the longest.
func answersOf(t *testing.T, folder *product.Folder, store *kept.Store) string {
	t.Helper()
	p, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	for _, study := range Studies() {
		if study[0] == "charge" {
			continue
		}
		answer, err := Study(context.Background(), p, study[0], Options{Seed: 1, Kept: store})
		if err != nil {
			t.Fatal(err)
		}
		text, err := answer.JSON()
		if err != nil {
			t.Fatal(err)
		}
		out.Write(text)
		for _, shown := range answer.Pages {
			if err := shown.Text(&out, 100, figure.TextStyle{ASCII: true}); err != nil {
				t.Fatal(err)
			}
		}
	}
	return out.String()
}

func firstDifference(a, b string) string {
	i := 0
	for i < min(len(a), len(b)) && a[i] == b[i] {
		i++
	}
	from := max(0, i-60)
	return fmt.Sprintf("%q in place of %q", a[from:min(len(a), i+60)], b[from:min(len(b), i+60)])
}

// A price changes what two studies read: only they are run again, and what is told is what is told without a store.
func TestPriceComputesOnlyWhatReadsIt(t *testing.T) {
	folder := example(t)
	before := everything(t, folder, kept.Open(folder.Dir), true)
	for _, c := range []struct {
		file, key, value string
		want             []string
	}{
		{"production.toml", "work.price", `"41 EUR"`, []string{"accounts", "production"}},
		{"product.toml", "summary", `"another sentence"`, nil},
	} {
		if _, err := product.Set(folder.Dir, c.file, c.key, c.value); err != nil {
			t.Fatal(err)
		}
		var err error
		if folder, err = product.Read(folder.Dir); err != nil {
			t.Fatal(err)
		}
		store := kept.Open(folder.Dir)
		after := everything(t, folder, store, true)
		if again := computed(store); !slices.Equal(again, c.want) {
			t.Errorf("%s: computed again: %v, want %v", c.key, again, c.want)
		}
		if after == before {
			t.Errorf("%s: nothing else is told", c.key)
		}
		before = after
	}
	if got := everything(t, folder, nil, true); got != before {
		t.Errorf("without a store: %s", firstDifference(got, before))
	}
}

// Each change is another key for the judgements of those studies that read it, and for no others.
func TestChangesTouchOnlyWhatReadsThem(t *testing.T) {
	base := keysOf(t, example(t))
	for _, c := range []struct {
		file, key, value string
		want             []string
	}{
		{"production.toml", "work.price", `"41 EUR"`, []string{"accounts", "production"}},
		{"production.toml", "work.fault_unreported", `"11 %"`, []string{"returns"}},
		{"product.toml", "regulation.float", `"27.31 V"`, []string{"bench", "charge", "setpoint"}},
		{"product.toml", "sense.bits", "11", []string{"bench", "charge", "setpoint"}},
		{"product.toml", "accepted_for", `"23 months"`, []string{"accounts", "returns"}},
		{"product.toml", "summary", `"another sentence"`, nil},
		{"installations/cold-post.toml", "panel.tilt", `"61°"`, []string{"charge"}},
		{"bench/meters.toml", "meter.bench-2.note", `"another note"`, []string{"bench", "rating", "setpoint"}},
		{"parts.toml", "part.clamp33.energy", `"1.6 J"`, []string{"fault"}},
		{"parts.toml", "part.fuse15.melting_integral", `"630 A²s"`, []string{"fault"}},
		{"parts.toml", "part.nfet100.avalanche_energy", `"190 mJ"`, []string{"fault"}},
		{"promises.toml", "promise.float.label", `"Another sentence"`, []string{"bench", "setpoint"}},
		{"promises.toml", "promise.float.within", `"-0.21..0.2 V"`, []string{"bench", "setpoint"}},
	} {
		var touched []string
		for name, key := range keysOf(t, example(t, [3]string{c.file, c.key, c.value})) {
			if base[name] != key {
				study, _, _ := strings.Cut(name, " ")
				touched = append(touched, study)
			}
		}
		slices.Sort(touched)
		if touched = slices.Compact(touched); !slices.Equal(touched, c.want) {
			t.Errorf("%s: touches %v, want %v", c.key, touched, c.want)
		}
	}
}

// keysOf are the keys of all judgements and answers of the studies that keep any, each after its study's name.
func keysOf(t *testing.T, folder *product.Folder) map[string]string {
	t.Helper()
	p, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	s := newSession(p, Options{Seed: 1, Kept: kept.Open(folder.Dir)})
	keys := map[string]string{}
	for i := range studies {
		if !studies[i].built() {
			continue
		}
		if studies[i].rests == nil {
			t.Errorf("the study %s keeps nothing: it does not say what it rests on", studies[i].name)
			continue
		}
		_, rests := s.under(&studies[i], "", nil)
		keys[studies[i].name+" page"] = kept.Key("page", rests)
		for name, asked := range p.Promises.All() {
			if asked.Study.Text == studies[i].name {
				_, rests := s.under(&studies[i], name, asked)
				keys[studies[i].name+" "+name] = kept.Key("judgement", rests)
			}
		}
	}
	for name, key := range keys {
		if key == "" {
			t.Errorf("%s has no key", name)
		}
	}
	return keys
}

// Every leaf of every study's input is another key, so that none can change unseen.
func TestEveryInputCounts(t *testing.T) {
	p, err := example(t).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	charge, err := bind.Charge(p, p.Installations.Names()[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range []any{bind.Setpoint(p, ""), bind.Rating(p, ""), charge, bind.Production(p), bind.Accounts(p), bind.Returns(p)} {
		v := reflect.New(reflect.TypeOf(in)).Elem()
		v.Set(reflect.ValueOf(in))
		t.Run(v.Type().String(), func(t *testing.T) {
			flipped := &flips{t: t, root: v, seen: map[string]string{}}
			flipped.note("as bound")
			flipped.each(v, v.Type().Name(), nil)
			if len(flipped.seen) < 20 {
				t.Errorf("only %d leaves were tried", len(flipped.seen))
			}
			t.Logf("%d leaves", len(flipped.seen))
		})
	}
}

// flips changes one leaf after another of root.
type flips struct {
	t    *testing.T
	root reflect.Value
	seen map[string]string // key → where
}

func (f *flips) note(where string) {
	key := kept.Key("study", f.root.Interface())
	if was, taken := f.seen[key]; taken || key == "" {
		f.t.Errorf("%s has the key %q of %s", where, key, was)
	}
	f.seen[key] = where
}

// with puts a value in place, notes the key, and puts back what was there.
func (f *flips) with(v, other reflect.Value, where string) {
	was := reflect.New(v.Type()).Elem()
	was.Set(v)
	v.Set(other)
	f.note(where)
	v.Set(was)
}

func (f *flips) each(v reflect.Value, where string, above []reflect.Type) {
	if !v.CanSet() || strings.Count(where, ".") > 12 {
		return
	}
	if v.Kind() == reflect.Struct && slices.Contains(above, v.Type()) {
		return // an input within an input
	}
	other := reflect.New(v.Type()).Elem()
	switch v.Kind() {
	case reflect.Bool:
		other.SetBool(!v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		other.SetInt(v.Int() + 1)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		other.SetUint(v.Uint() + 1)
	case reflect.Float32, reflect.Float64:
		other.SetFloat(v.Float() + 1)
	case reflect.String:
		other.SetString(v.String() + "x")
	case reflect.Pointer:
		if !v.IsNil() {
			f.each(v.Elem(), where, above)
			f.with(v, other, where+" nil")
			return
		}
		other.Set(reflect.New(v.Type().Elem()))
	case reflect.Slice:
		if v.Len() > 0 {
			f.each(v.Index(v.Len()-1), where+"[]", above)
			other.Set(v.Slice(0, v.Len()-1))
		} else {
			other.Set(reflect.MakeSlice(v.Type(), 1, 1))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f.each(v.Field(i), where+"."+v.Type().Field(i).Name, append(above, v.Type()))
		}
		return
	case reflect.Array:
		for i := range v.Len() {
			f.each(v.Index(i), where+"[]", above)
		}
		return
	case reflect.Map:
		other.Set(reflect.MakeMap(v.Type()))
		if v.Len() == 0 {
			other.SetMapIndex(reflect.Zero(v.Type().Key()), reflect.Zero(v.Type().Elem()))
		}
	default:
		return
	}
	f.with(v, other, where)
}

// A year of means is another input, and so another key, of the charge study alone.
func TestMeanYearReachesTheInput(t *testing.T) {
	p, err := example(t).Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	name := p.Installations.Names()[0]
	for _, mean := range []bool{false, true} {
		in, err := newSession(p, Options{Seed: 1, MeanYear: mean}).chargeInput(context.Background(), name)
		if err != nil || in.MeanYear != mean {
			t.Errorf("asked for %v, got %v, %v", mean, in.MeanYear, err)
		}
	}
}
