package desk

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"net"
	"net/http"
	"path/filepath"
	"strconv"
	"sync"
	"time"
)

// Options say what is opened.
type Options struct {
	Dir     string
	Variant string // laid over the product when no other is asked for
	Seed    uint64
	Port    int // 0: any that is free
}

// Desk is one folder being served.
type Desk struct {
	options   Options
	dir       string // absolute
	port      string
	listeners []net.Listener
	guard     *guard
	sight     *sight
	evening   evening
	checks    checks
	dropped   dropped
	tests     sync.Map // what the test of a unit said, by the line of made.csv
	stop      context.Context
	end       context.CancelFunc
}

// Listen takes a port on the loopback addresses and gets ready to serve a folder, which may be
// missing or empty yet.
func Listen(o Options) (*Desk, error) {
	dir, err := filepath.Abs(o.Dir)
	if err != nil {
		return nil, fmt.Errorf("open: %w", err)
	}
	listeners, err := loopback(o.Port)
	if err != nil {
		return nil, fmt.Errorf("open: %w", err)
	}
	d := &Desk{options: o, dir: dir, listeners: listeners}
	d.port = strconv.Itoa(listeners[0].Addr().(*net.TCPAddr).Port)
	d.guard = newGuard(d.port)
	d.stop, d.end = context.WithCancel(context.Background())
	d.sight = newSight(d.stop, dir, o.Seed)
	return d, nil
}

const tries = 20

// loopback listens on 127.0.0.1 and, where the machine has it, on ::1 with the same port.
func loopback(port int) ([]net.Listener, error) {
	var last error
	for range tries {
		four, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
		if err != nil {
			return nil, err
		}
		chosen := strconv.Itoa(four.Addr().(*net.TCPAddr).Port)
		six, err := net.Listen("tcp6", net.JoinHostPort("::1", chosen))
		switch {
		case err == nil:
			return []net.Listener{four, six}, nil
		case !taken(err):
			return []net.Listener{four}, nil // no IPv6 here
		}
		four.Close()
		if last = err; port != 0 {
			break
		}
	}
	return nil, last
}

// Address is where the desk is found, once: it lets one browser in, which keeps a cookie from then on.
func (d *Desk) Address() string { return d.base() + "/enter?key=" + d.guard.invite() }

func (d *Desk) base() string { return "http://127.0.0.1:" + d.port }

// Limits of a request.
const (
	headerWait  = 10 * time.Second
	bodyWait    = 60 * time.Second
	goodbye     = 2 * time.Second
	headerBytes = 32 << 10
)

// Serve answers until ctx is done, and then lets go of the port at once.
func (d *Desk) Serve(ctx context.Context) error {
	defer d.end()
	server := &http.Server{
		Handler: d.handler(), ReadHeaderTimeout: headerWait, ReadTimeout: bodyWait, IdleTimeout: bodyWait, MaxHeaderBytes: headerBytes,
		BaseContext: func(net.Listener) context.Context { return d.stop },
	}
	forget := d.announce()
	defer forget()
	failed := make(chan error, len(d.listeners))
	var running sync.WaitGroup
	for _, l := range d.listeners {
		running.Go(func() { failed <- server.Serve(l) })
	}
	var err error
	select {
	case <-ctx.Done():
	case err = <-failed:
	}
	d.end() // ends the streams, which Shutdown would wait for
	patience, cancel := context.WithTimeout(context.Background(), goodbye)
	defer cancel()
	if server.Shutdown(patience) != nil {
		server.Close()
	}
	running.Wait()
	d.sight.wait()
	d.checks.wait()
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	return err
}

// secret is what nobody guesses.
func secret() string {
	var b [32]byte
	rand.Read(b[:])
	return base64.RawURLEncoding.EncodeToString(b[:])
}
