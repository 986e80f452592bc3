package numeric

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
)

func TestSelect(t *testing.T) {
	s := NewStream(30)
	for round := range 400 {
		n := 1 + s.Intn(3000)
		x := make([]float64, n)
		for i := range x {
			switch round % 4 {
			case 0:
				x[i] = s.Norm()
			case 1:
				x[i] = float64(s.Intn(5)) // many alike
			case 2:
				x[i] = float64(i)
			case 3:
				x[i] = float64(n - i)
			}
		}
		sorted := slices.Sorted(slices.Values(x))
		k := s.Intn(n)
		got := Select(x, k)
		if got != sorted[k] || x[k] != got {
			t.Fatalf("element %d of %d is %v; want %v", k, n, got, sorted[k])
		}
		if k > 0 && slices.Max(x[:k]) > got || slices.Min(x[k:]) < got {
			t.Fatalf("element %d of %d does not part the others", k, n)
		}
		slices.Sort(x)
		if !slices.Equal(x, sorted) {
			t.Fatal("elements are lost")
		}
	}
}

func TestParallel(t *testing.T) {
	ctx := context.Background()
	var done [1000]atomic.Int32
	if err := Parallel(ctx, len(done), func(job int) error { done[job].Add(1); return nil }); err != nil {
		t.Fatal(err)
	}
	for i := range done {
		if n := done[i].Load(); n != 1 {
			t.Errorf("job %d was done %d times", i, n)
		}
	}
	for _, jobs := range []int{0, -1} {
		if err := Parallel(ctx, jobs, func(int) error { return errors.New("called") }); err != nil {
			t.Errorf("%d jobs: %v", jobs, err)
		}
	}
}

// The first failing job in order is told, though one behind it fails sooner.
func TestParallelFirstError(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	for range 50 {
		late := make(chan struct{})
		err := Parallel(context.Background(), 100, func(job int) error {
			switch job {
			case 3:
				close(late)
				return fmt.Errorf("job %d", job)
			case 2:
				<-late
				return fmt.Errorf("job %d", job)
			}
			return nil
		})
		if err == nil || err.Error() != "job 2" {
			t.Fatalf("error is %v; want that of job 2", err)
		}
	}
}

func TestParallelStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var begun atomic.Int32
	err := Parallel(ctx, 100000, func(job int) error {
		if begun.Add(1) == 10 {
			cancel()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) || begun.Load() > 100 {
		t.Errorf("error %v after %d jobs", err, begun.Load())
	}
}
