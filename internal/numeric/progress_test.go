package numeric

import (
	"context"
	"sync"
	"testing"
)

func TestProgressCountsJobsOfNamedWork(t *testing.T) {
	var mutex sync.Mutex
	seen := map[int]int{}
	ctx := WithProgress(context.Background(), func(what string, done, of int) {
		mutex.Lock()
		defer mutex.Unlock()
		if what != "years" || of != 7 {
			t.Errorf("%s: of %d", what, of)
		}
		seen[done]++
	})
	idle := func(int) error { return nil }
	if err := Parallel(ctx, 3, idle); err != nil || len(seen) != 0 {
		t.Errorf("work without a name was told: %v, %v", seen, err)
	}
	if err := Parallel(Doing(ctx, "years"), 7, idle); err != nil {
		t.Fatal(err)
	}
	for done := 1; done <= 7; done++ {
		if seen[done] != 1 {
			t.Errorf("%d of 7 was told %d times", done, seen[done])
		}
	}
	clear(seen)
	part := Part(WithProgress(context.Background(), func(what string, done, of int) {
		mutex.Lock()
		defer mutex.Unlock()
		if what != "first, 1 of 2: years" || of != 3 {
			t.Errorf("%s: of %d", what, of)
		}
		seen[done]++
	}), "first, 1 of 2")
	if err := Parallel(Doing(part, "years"), 3, idle); err != nil || len(seen) != 3 {
		t.Errorf("a part was told so often: %v, %v", seen, err)
	}
	if plain := context.Background(); Doing(plain, "years") != plain {
		t.Error("a context without progress was changed")
	}
}
