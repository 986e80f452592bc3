package kept

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
)

func TestAMemoryComputesOnce(t *testing.T) {
	var m Memory[int]
	var computed atomic.Int64
	ask := func(n int) int {
		v, err := m.Result("square", []any{n}, func() (int, error) {
			computed.Add(1)
			if n == 13 {
				return 0, errors.New("unlucky")
			}
			return n * n, nil
		})
		if (err != nil) != (n == 13) {
			t.Errorf("%d: %v", n, err)
		}
		return v
	}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			if v := ask(7); v != 49 {
				t.Errorf("7² = %d", v)
			}
		})
	}
	all.Wait()
	ask(13)
	if ask(13); computed.Load() != 2 {
		t.Errorf("computed %d times", computed.Load())
	}
	for n := range mostRemembered {
		ask(100 + n)
		ask(7) // stays, being used
	}
	if n := computed.Load(); n != 2+mostRemembered || len(m.held) != mostRemembered || len(m.used) != mostRemembered {
		t.Errorf("computed %d times, %d held, %d used", n, len(m.held), len(m.used))
	}
	if ask(13); computed.Load() != 3+mostRemembered {
		t.Error("what was used longest ago is held for ever")
	}
	if other, _ := m.Result("cube", []any{7}, func() (int, error) { return 343, nil }); other != 343 {
		t.Errorf("another study is given %s", fmt.Sprint(other))
	}
}
