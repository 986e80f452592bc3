package kept

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"
)

type shape interface{ area() float64 }

type square struct{ Side float64 }

func (s square) area() float64 { return s.Side * s.Side }

type other struct{ Side float64 }

func (o other) area() float64 { return o.Side }

type result struct {
	Name    string
	Figures []float64
	Zero    *float64 // to 0: not the same as nil
	None    *float64
	Empty   []string // not the same as nil
	Nil     []string
	Table   map[string]int
	Shape   shape
	Day     time.Time
	Small   [2]float32
	On      bool
	N       int8
	U       uint16
}

func filled() result {
	return result{Name: "α", Figures: []float64{1, math.Copysign(0, -1), math.MaxFloat64}, Zero: new(float64), Empty: []string{}, Table: map[string]int{"a": -1, "b": 2},
		Shape: square{2}, Day: time.Date(2026, 2, 3, 4, 5, 6, 7, time.UTC), Small: [2]float32{1, 2}, On: true, N: -5, U: 9}
}

func init() { Register(square{}) }

// keep computes through a store and reports whether it had to.
func keep[T any](t *testing.T, s *Store, rests any, value T) (T, bool) {
	t.Helper()
	computed := false
	got, err := Result(s, "study", rests, func() (T, error) { computed = true; return value, nil })
	if err != nil {
		t.Fatal(err)
	}
	return got, computed
}

func TestResultComesBackAsItWas(t *testing.T) {
	s := Open(t.TempDir())
	want := filled()
	if _, computed := keep(t, s, 1, want); !computed {
		t.Fatal("found before it was computed")
	}
	got, computed := keep(t, Open(filepath.Dir(s.dir)), 1, result{})
	if computed || !reflect.DeepEqual(got, want) {
		t.Errorf("computed %v, got %+v, want %+v", computed, got, want)
	}
	if got.Zero == nil || got.None != nil || got.Empty == nil || got.Nil != nil || math.Signbit(got.Figures[1]) != math.Signbit(want.Figures[1]) {
		t.Errorf("nil and empty are not told apart: %+v", got)
	}
	if tally := s.Tally()["study"]; tally != (Tally{Computed: 1}) {
		t.Errorf("tally %+v", tally)
	}
}

func TestWhatCannotBeKeptIsComputedAgain(t *testing.T) {
	for name, try := range map[string]func(t *testing.T, s *Store) bool{
		"NaN":                 func(t *testing.T, s *Store) bool { _, c := keep(t, s, 1, []float64{math.NaN()}); return c },
		"hidden field":        func(t *testing.T, s *Store) bool { _, c := keep(t, s, 1, struct{ hidden int }{1}); return c },
		"unregistered shape":  func(t *testing.T, s *Store) bool { _, c := keep(t, s, 1, result{Shape: other{1}}); return c },
		"a function in it":    func(t *testing.T, s *Store) bool { _, c := keep(t, s, 1, struct{ F func() }{func() {}}); return c },
		"rests on a function": func(t *testing.T, s *Store) bool { _, c := keep(t, s, func() {}, 1.0); return c },
	} {
		s := Open(t.TempDir())
		if first, second := try(t, s), try(t, s); !first || !second {
			t.Errorf("%s: found in the store", name)
		}
	}
	s := Open(t.TempDir())
	fails := func() (int, error) { return 1, errors.New("no") }
	Result(s, "study", 1, fails)
	if _, err := Result(s, "study", 1, fails); err == nil || s.Tally()["study"].Computed != 2 {
		t.Error("an error was kept")
	}
	if _, err := os.Stat(s.dir); err == nil {
		t.Error("a folder was made with nothing to keep")
	}
}

// Every bit of an entry counts, and so does its length.
func TestTornEntriesAreComputedAgain(t *testing.T) {
	s := Open(t.TempDir())
	keep(t, s, 1, filled())
	path := filepath.Join(s.dir, Key("study", 1)+ending)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	spoilt := [][]byte{nil, whole[:10], whole[:len(whole)-1], append(bytes.Clone(whole), 0), bytes.Repeat([]byte{0xff}, 100)}
	for i := 0; i < len(whole); i += 7 {
		one := bytes.Clone(whole)
		one[i] ^= 4
		spoilt = append(spoilt, one)
	}
	for i, data := range spoilt {
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		if got, computed := keep(t, s, 1, filled()); !computed || got.Name != "α" {
			t.Errorf("spoilt entry %d was taken", i)
		}
	}
	if now, _ := os.ReadFile(path); !bytes.Equal(now, whole) {
		t.Error("the entry was not mended")
	}
}

// A reader of any bytes ends without a panic and without asking for much memory.
func FuzzReader(f *testing.F) {
	w := writer{}
	if err := w.value(reflect.ValueOf(filled()), 0); err != nil {
		f.Fatal(err)
	}
	f.Add(w.buf.Bytes())
	f.Fuzz(func(t *testing.T, data []byte) {
		var r result
		in := reader{rest: data}
		_ = in.value(reflect.ValueOf(&r).Elem())
	})
}

func TestFolderThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, Dir), nil, 0o644); err != nil { // a file where the folder should be: root too is refused
		t.Fatal(err)
	}
	s := Open(dir)
	for range 2 {
		if got, computed := keep(t, s, 1, 5); got != 5 || !computed {
			t.Errorf("got %d, computed %v", got, computed)
		}
	}
	if _, computed := keep[int](t, nil, 1, 5); !computed {
		t.Error("no store found something")
	}
}

func TestFolderSaysWhatItIs(t *testing.T) {
	s := Open(t.TempDir())
	keep(t, s, 1, 5)
	for file, want := range map[string]string{"README.txt": "may be deleted at any time", ".gitignore": "*"} {
		if text, err := os.ReadFile(filepath.Join(s.dir, file)); err != nil || !strings.Contains(string(text), want) {
			t.Errorf("%s: %q, %v", file, text, err)
		}
	}
	if err := os.RemoveAll(s.dir); err != nil {
		t.Fatal(err)
	}
	if got, computed := keep(t, s, 1, 6); got != 6 || !computed {
		t.Error("a deleted folder still answers")
	}
}

func TestManyAtOnce(t *testing.T) {
	dir := t.TempDir()
	var group sync.WaitGroup
	for n := range 16 {
		group.Go(func() {
			s := Open(dir) // each as a program of its own
			for k := range 20 {
				want := filled()
				want.N = int8(k)
				if got, _ := keep(t, s, k, want); !reflect.DeepEqual(got, want) {
					t.Errorf("%d: %d: %+v", n, k, got)
				}
			}
		})
	}
	group.Wait()
	list, err := os.ReadDir(filepath.Join(dir, Dir))
	if err != nil || len(list) != 20+len(told) {
		t.Errorf("%d files, %v", len(list), err)
	}
}

func TestOldestGoFirst(t *testing.T) {
	s := Open(t.TempDir())
	big := make([]byte, mostEntry/2)
	path := func(k int) string { return filepath.Join(s.dir, Key("study", k)+ending) }
	for k := range 7 {
		keep(t, s, k, string(big))
		if err := os.Chtimes(path(k), time.Time{}, time.Now().Add(time.Duration(k-100)*time.Hour)); err != nil {
			t.Fatal(err)
		}
	}
	keep(t, s, 0, "") // found: used now
	draft := filepath.Join(s.dir, drafts+"1")
	if err := os.WriteFile(draft, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(draft, time.Time{}, time.Now().Add(-2*tornAfter)); err != nil {
		t.Fatal(err)
	}
	keep(t, s, 7, string(big))
	keep(t, s, 8, string(big))
	for k, want := range []bool{true, false, false, true} {
		if _, err := os.Stat(path(k)); (err == nil) != want {
			t.Errorf("entry %d is there: %v, want %v", k, err == nil, want)
		}
	}
	if _, err := os.Stat(draft); err == nil {
		t.Error("an old draft was left")
	}
}

func TestKeyTellsApart(t *testing.T) {
	type inner struct{ A, b int }
	seen := map[string]any{}
	for _, rests := range []any{
		1, int8(1), 1.0, "1", nil, []int(nil), []int{}, []int{1}, [1]int{1}, inner{1, 0}, inner{0, 1}, &inner{0, 1}, &inner{}, (*inner)(nil),
		[]string{"a", "b"}, []string{"ab", ""}, map[string]int{"a": 1}, map[string]int{"a": 2}, map[string]int{}, time.Unix(0, 0).UTC(), time.Unix(0, 1).UTC(), math.NaN(), 0.0, math.Copysign(0, -1),
		[]any{1}, []any{1, nil}, []any{[]any{1}},
	} {
		key := Key("study", rests)
		if was, taken := seen[key]; taken || key == "" {
			t.Errorf("%T %v has the key of %T %v", rests, rests, was, was)
		}
		seen[key] = rests
		if Key("study", rests) != key {
			t.Errorf("%v: another key each time", rests)
		}
	}
	if Key("a", 1) == Key("b", 1) {
		t.Error("two studies have one key")
	}
	round := &struct{ Next any }{}
	round.Next = round
	if Key("study", round) != "" {
		t.Error("what points at itself has a key")
	}
}
