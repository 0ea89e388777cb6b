package live

import (
	"net"
	"net/http"
	"net/url"
	"strings"
)

// guard answers only requests that this page itself makes.
//
// A page from elsewhere that the user has open could send requests here. Three things stand against it: the Host must be an address of
// this machine, so that no name of an attacker's that was turned to 127.0.0.1 (DNS rebinding) is answered; the Origin, where a browser
// sends one, must be the page's own; and a question must be JSON, which no foreign page may send without asking first, and it is not told
// yes. The content security policy keeps the page from fetching anything from elsewhere, and others from framing it.
func (d *Desk) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'unsafe-inline'; img-src data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !allowedHost(r.Host) {
			http.Error(w, "this page is only for the machine it runs on", http.StatusMisdirectedRequest)
			return
		}
		if !sameOrigin(r) {
			http.Error(w, "the request comes from another page", http.StatusForbidden)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// allowedHost tells whether a Host header names this machine: localhost or a loopback address, never another name, which others
// could turn to point here.
func allowedHost(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	} else {
		name = strings.TrimSuffix(strings.TrimPrefix(name, "["), "]")
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	ip := net.ParseIP(name)
	return ip != nil && ip.IsLoopback()
}

// sameOrigin tells whether a request comes from this page, or from no page at all.
func sameOrigin(r *http.Request) bool {
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none": // none: typed into the address bar
	default:
		return false
	}
	origin := r.Header.Get("Origin")
	if origin == "" {
		return true
	}
	u, err := url.Parse(origin)
	return err == nil && u.Scheme == "http" && strings.EqualFold(u.Host, r.Host)
}
