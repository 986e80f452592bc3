package desk

import (
	"crypto/subtle"
	"errors"
	"mime"
	"net"
	"net/http"
	"sync"
	"syscall"
)

// guard lets in who was invited, and nothing that another site has made a browser send.
type guard struct {
	names  map[string]bool // accepted in Host
	cookie string          // its name, with the port: cookies know no ports
	cross  *http.CrossOriginProtection

	mutex   sync.Mutex
	invites map[string]bool // keys that nobody has used yet
	session string          // what the cookie says
	again   string          // what a second program of the same user says
}

// maxInvites is how many keys may be open at once; the program prints one each time it is asked.
const maxInvites = 16

func newGuard(port string) *guard {
	g := &guard{names: map[string]bool{}, cookie: "hindwatt-" + port, cross: http.NewCrossOriginProtection(), invites: map[string]bool{}, session: secret(), again: secret()}
	for _, host := range []string{"127.0.0.1", "::1", "localhost"} {
		g.names[net.JoinHostPort(host, port)] = true
	}
	return g
}

// invite returns a key that lets one browser in.
func (g *guard) invite() string {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if len(g.invites) >= maxInvites {
		clear(g.invites)
	}
	key := secret()
	g.invites[key] = true
	return key
}

// use takes a key away, and reports whether it was one.
func (g *guard) use(key string) bool {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	for known := range g.invites {
		if same(known, key) {
			delete(g.invites, known)
			return true
		}
	}
	return false
}

func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// known reports whether a browser has been let in.
func (g *guard) known(r *http.Request) bool {
	for _, c := range r.CookiesNamed(g.cookie) {
		if same(c.Value, g.session) {
			return true
		}
	}
	return false
}

// policy allows what the page itself brings along and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Limits of a body: forms, and files that are to be imported.
const (
	maxForm   = 256 << 10
	maxUpload = 33 << 20
)

// protect stands before every page.
//
//	open  for who was not let in yet: the way in
//	next  for who was
func (g *guard) protect(open, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !g.names[r.Host] {
			refuse(w, http.StatusMisdirectedRequest, "This is the desk of hindwatt on another address. Open the address that it printed.")
			return
		}
		if err := g.cross.Check(r); err != nil {
			refuse(w, http.StatusForbidden, "This change was sent by another site, and was not made.")
			return
		}
		limit := int64(maxForm)
		if r.URL.Path == "/import" {
			limit = maxUpload
		}
		r.Body = http.MaxBytesReader(w, r.Body, limit)
		if r.URL.Path == "/enter" || r.URL.Path == againPath {
			open.ServeHTTP(w, r)
			return
		}
		switch {
		case !g.known(r):
			refuse(w, http.StatusForbidden, "This browser has not been let in. Run hindwatt open again: it prints an address that lets one browser in, once.")
		case r.Method == http.MethodPost && !accepted(r):
			refuse(w, http.StatusUnsupportedMediaType, "Forms and JSON are taken, and nothing else.")
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// accepted reports whether what is sent is a form or JSON.
func accepted(r *http.Request) bool {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	switch {
	case err != nil:
		return false
	case kind == "multipart/form-data":
		return r.URL.Path == "/import"
	}
	return kind == "application/x-www-form-urlencoded" || kind == "application/json"
}

func refuse(w http.ResponseWriter, status int, why string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(status)
	w.Write([]byte(why + "\n"))
}

// enter lets a browser in. It answers with a page that goes on, since a browser that came from
// elsewhere would not show the cookie on a redirect.
func (d *Desk) enter(w http.ResponseWriter, r *http.Request) {
	g := d.guard
	switch {
	case g.use(r.URL.Query().Get("key")):
		http.SetCookie(w, &http.Cookie{Name: g.cookie, Value: g.session, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
	case !g.known(r):
		refuse(w, http.StatusForbidden, "This address has been used. Run hindwatt open again: it prints a new one.")
		return
	}
	d.show(w, http.StatusOK, "enter", nil)
}

// taken reports whether somebody else has the port.
func taken(err error) bool { return errors.Is(err, syscall.EADDRINUSE) }
