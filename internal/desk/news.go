package desk

import "sync"

// event is something that has come to be known.
type event struct {
	kind string // promise, judged, progress, answer, over
	look *look  // nil: of no look in particular
	name string // of the promise or the question
	text string // how far it is
}

// news tells pages that are open what has come to be known.
type news struct {
	mutex   sync.Mutex
	readers map[chan event]bool
}

// maxUnread is how many events a page may be behind; beyond it loads itself again.
const maxUnread = 256

// read returns a channel of events until it is given to leave.
func (n *news) read() chan event {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	if n.readers == nil {
		n.readers = map[chan event]bool{}
	}
	c := make(chan event, maxUnread)
	n.readers[c] = true
	return c
}

func (n *news) leave(c chan event) {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	delete(n.readers, c)
}

// tell never waits: a page that does not read fast enough misses what it will load anyway.
func (n *news) tell(e event) {
	n.mutex.Lock()
	defer n.mutex.Unlock()
	for c := range n.readers {
		select {
		case c <- e:
		default:
		}
	}
}
