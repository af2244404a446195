package web

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"strings"
)

// ListenError is a listen address that is refused, with the reason.
type ListenError struct{ why, hint string }

func (e *ListenError) Error() string { return e.why }

// Refused gives the reason and what to do instead.
func (e *ListenError) Refused() (why, hint string) { return e.why, e.hint }

// CheckListen refuses to serve a studio without a password on an address that
// other machines reach, and an address that is no address. The error is a
// [*ListenError].
func CheckListen(addr string, hasPassword bool) error {
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return &ListenError{
			why:  fmt.Sprintf("listen address %q is not host:port", addr),
			hint: "write 127.0.0.1:8417 for this machine alone, or :8417 for the studio's network"}
	}
	if n, err := strconv.ParseUint(port, 10, 16); err != nil || n > 65535 {
		return &ListenError{
			why:  fmt.Sprintf("listen address %q: port %q is not a number from 0 to 65535", addr, port),
			hint: "write 127.0.0.1:8417, or port 0 to have a free one chosen"}
	}
	if !loopbackHost(host) && !hasPassword {
		return &ListenError{
			why:  fmt.Sprintf("%s can be reached by other machines, and this studio has no password", addr),
			hint: "set one first with platewright password, or listen on 127.0.0.1 for this machine alone"}
	}
	return nil
}

// loopbackHost tells whether a host name or address means this machine and
// nothing else. An empty host means every address, so it does not.
func loopbackHost(host string) bool {
	if strings.EqualFold(strings.TrimSuffix(host, "."), "localhost") {
		return true
	}
	addr, err := netip.ParseAddr(strings.Trim(host, "[]"))
	return err == nil && addr.Unmap().IsLoopback()
}

// requestHost is the host a request names, without port and brackets.
func requestHost(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.Host)
	if err != nil {
		host = r.Host
	}
	return strings.Trim(host, "[]")
}

// knownHost refuses requests that name another host while listening on
// loopback only: that is what a page elsewhere does when its name is turned
// to point at this machine.
func (s *Server) knownHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := requestHost(r)
		if s.local && !loopbackHost(host) && !strings.EqualFold(host, s.host) {
			s.answer(w, r, &problem{status: http.StatusMisdirectedRequest, title: "Another host",
				what: "This studio answers on this machine only, and the request is for the host " + quoted(host) + ".",
				hint: "Open the address that was printed when the studio was opened."})
			return
		}
		next.ServeHTTP(w, r)
	})
}

// fromHere tells whether a request plainly comes from this machine: from a
// loopback peer, for a loopback host, and not passed on by a proxy.
func fromHere(r *http.Request) bool {
	peer, _, err := net.SplitHostPort(r.RemoteAddr)
	return err == nil && loopbackHost(peer) && loopbackHost(requestHost(r)) && !passedOn(r)
}

// passedOn tells whether a proxy says it carries this request for another, or shows by an older
// HTTP than browsers speak that it is none.
func passedOn(r *http.Request) bool {
	for _, name := range []string{"Forwarded", "Via", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip"} {
		if r.Header.Get(name) != "" {
			return true
		}
	}
	return !r.ProtoAtLeast(1, 1)
}

// quoted shows a piece of what was sent, shortened.
func quoted(text string) string {
	if runes := []rune(text); len(runes) > 80 {
		text = string(runes[:80]) + "..."
	}
	return strconv.Quote(text)
}
