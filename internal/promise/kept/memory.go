package kept

import (
	"slices"
	"sync"
)

// mostRemembered is how many results a Memory holds.
const mostRemembered = 64

// A Memory holds results while the program runs, those used longest ago going first: what is wanted again and again while somebody
// changes something that it does not rest on. It may be used by several goroutines; of two that ask for the same, one computes.
type Memory[T any] struct {
	mutex sync.Mutex
	used  []string // keys, the latest last
	held  map[string]*remembered[T]
}

type remembered[T any] struct {
	once  sync.Once
	value T
	err   error
}

// Result returns what compute returns, or has returned before for the same; nobody may change it.
//
//	study, rests  as of the function Result
func (m *Memory[T]) Result(study string, rests any, compute func() (T, error)) (T, error) {
	key := Key(study, rests)
	if key == "" {
		return compute()
	}
	is := m.at(key)
	is.once.Do(func() { is.value, is.err = compute() })
	return is.value, is.err
}

func (m *Memory[T]) at(key string) *remembered[T] {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	is := m.held[key]
	if is == nil {
		if m.held == nil {
			m.held = map[string]*remembered[T]{}
		}
		is = &remembered[T]{}
		m.held[key] = is
	} else if i := slices.Index(m.used, key); i >= 0 {
		m.used = slices.Delete(m.used, i, i+1)
	}
	m.used = append(m.used, key)
	if len(m.used) > mostRemembered {
		delete(m.held, m.used[0])
		m.used = slices.Delete(m.used, 0, 1)
	}
	return is
}
