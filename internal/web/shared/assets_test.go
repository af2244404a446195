package shared

import "testing"

// published: the forms of Accept-Encoding [RFC9110, 12.5.3], from memory.
func TestAcceptsGzip(t *testing.T) {
	for header, want := range map[string]bool{
		"gzip": true, "GZIP": true, "deflate, gzip;q=1.0": true, "br, gzip": true, "gzip;q=0.5": true,
		"": false, "br": false, "gzip;q=0": false, "identity, gzip; q=0": false, "xgzip": false, "gzip;q=0.000": false,
	} {
		if got := acceptsGzip(header); got != want {
			t.Errorf("%q: %v, want %v", header, got, want)
		}
	}
}
