package web

import (
	"crypto/subtle"
	"net"
	"net/http"
	"net/url"
	"os"
	"strings"
)

// tokenHeader bears the page's token. A page from elsewhere cannot set it
// without this server's consent, which it never gives.
const tokenHeader = "Meltspan-Token"

const keyCookie = "meltspan_key"

// policy lets the page use what this server serves and nothing else: no script
// or style in the page itself, none from elsewhere. Pictures may come from
// memory, since they are drawn anew as a slider moves.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; " +
	"font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard lets only those requests through that the page itself could have made.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !s.ours(r.Host) {
			fail(w, &Problem{Status: http.StatusMisdirectedRequest, Title: "Not a name of this page",
				Detail: "The page was asked for as " + clip(r.Host) + ". Open it under the address that the program printed."})
			return
		}
		if s.o.Open && !s.admitted(w, r) {
			return
		}
		if p := s.crossing(r); p != nil {
			fail(w, p)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// ours reports whether a host is a name of this server. A page of another name
// that was led here (DNS rebinding) has its own name in Host. Numbers cannot be
// led anywhere.
func (s *Server) ours(host string) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil {
		name, port = strings.Trim(host, "[]"), map[string]string{"http": "80", "https": "443"}[s.scheme()]
	}
	if s.port != "" && port != s.port {
		return false
	}
	if ip := net.ParseIP(name); ip != nil {
		return s.o.Open || ip.IsLoopback()
	}
	if strings.EqualFold(name, "localhost") {
		return true
	}
	own, err := os.Hostname()
	return s.o.Open && err == nil && (strings.EqualFold(name, own) || strings.EqualFold(name, own+".local"))
}

// admitted asks for the key where others than this machine can reach the
// server. The printed address bears it; a cookie keeps it.
func (s *Server) admitted(w http.ResponseWriter, r *http.Request) bool {
	if r.Method == http.MethodGet && r.URL.Path == "/" && same(r.URL.Query().Get("key"), s.key) {
		http.SetCookie(w, &http.Cookie{Name: keyCookie, Value: s.key, Path: "/", HttpOnly: true, Secure: s.o.Secure != nil, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return false
	}
	if c, err := r.Cookie(keyCookie); err == nil && same(c.Value, s.key) {
		return true
	}
	fail(w, &Problem{Status: http.StatusUnauthorized, Title: "The key is missing", Detail: "Open the page once by the whole address that the program printed, with its key."})
	return false
}

// crossing says what is wrong with a request's origin, nil when nothing is.
func (s *Server) crossing(r *http.Request) *Problem {
	foreign := &Problem{Status: http.StatusForbidden, Title: "Not from this page", Detail: "The request came from another page. Only the page that this program serves may ask it."}
	if site := r.Header.Get("Sec-Fetch-Site"); site != "" && site != "same-origin" && site != "none" {
		// A link from elsewhere may open the page, and nothing more.
		if !(r.Method == http.MethodGet && r.URL.Path == "/" && r.Header.Get("Sec-Fetch-Mode") == "navigate") {
			return foreign
		}
	}
	if origin := r.Header.Get("Origin"); origin != "" {
		u, err := url.Parse(origin)
		if err != nil || u.Scheme != s.scheme() || !strings.EqualFold(u.Host, r.Host) {
			return foreign
		}
	}
	if r.Method == http.MethodGet || r.Method == http.MethodHead {
		return nil
	}
	if !same(r.Header.Get(tokenHeader), s.token) {
		return &Problem{Status: http.StatusForbidden, Title: "The page is out of date", Detail: "The request bears no valid token. The program was started anew since the page was opened: copy what you have not saved, then load the page again."}
	}
	return nil
}

func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }
