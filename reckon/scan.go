package reckon

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// scanner reads JSON [RFC8259] strictly: no comments, no trailing commas, valid UTF-8 only.
type scanner struct {
	src []byte
	at  int
	buf []byte // texts with escapes are put together here
}

// fault is what is wrong at a place in the question; the place is completed on the way out.
type fault struct {
	path string
	text string // follows the key: "is 3; allowed is ..."
	bare bool   // text is a sentence of its own
	lead string // stands before the key in quotes, and text after it; empty for most
}

func (f *fault) under(key string) *fault {
	switch {
	case f.path == "":
		f.path = key
	case f.path[0] == '[':
		f.path = key + f.path
	default:
		f.path = key + "." + f.path
	}
	return f
}

func (f *fault) error() *FieldError {
	if f.lead != "" {
		return &FieldError{Field: f.path, Message: f.lead + " " + strconv.Quote(f.path) + " " + f.text}
	}
	if f.bare || f.path == "" {
		return &FieldError{Field: f.path, Message: f.text}
	}
	return &FieldError{Field: f.path, Message: f.path + " " + f.text}
}

func bare(format string, args ...any) *fault {
	return &fault{text: fmt.Sprintf(format, args...), bare: true}
}

func wrong(format string, args ...any) *fault { return &fault{text: fmt.Sprintf(format, args...)} }

// broken says what of JSON's own grammar is hurt, and where.
func (s *scanner) broken(want string) *fault {
	if s.at >= len(s.src) {
		return bare("not JSON: the text ends where %s is wanted", want)
	}
	r, size := utf8.DecodeRune(s.src[s.at:])
	if r == utf8.RuneError && size == 1 {
		return bare("not JSON: byte %d is 0x%02x, no UTF-8, where %s is wanted", s.at+1, s.src[s.at], want)
	}
	return bare("not JSON: byte %d is %q where %s is wanted", s.at+1, r, want)
}

func (s *scanner) space() {
	for s.at < len(s.src) {
		switch s.src[s.at] {
		case ' ', '\t', '\n', '\r':
			s.at++
		default:
			return
		}
	}
}

// peek returns the first byte of the next token, 0 at the end.
func (s *scanner) peek() byte {
	s.space()
	if s.at < len(s.src) {
		return s.src[s.at]
	}
	return 0
}

func (s *scanner) take(c byte) bool {
	if s.peek() == c && s.at < len(s.src) {
		s.at++
		return true
	}
	return false
}

func (s *scanner) word(w string) bool {
	if len(s.src)-s.at >= len(w) && string(s.src[s.at:s.at+len(w)]) == w {
		s.at += len(w)
		return true
	}
	return false
}

// string reads a text; the bytes are good until the next call.
func (s *scanner) string() ([]byte, *fault) {
	if !s.take('"') {
		return nil, s.broken("a text in double quotes")
	}
	start := s.at
	for s.at < len(s.src) {
		switch c := s.src[s.at]; {
		case c == '"':
			s.at++
			return s.src[start : s.at-1], nil
		case c == '\\':
			return s.escaped(start)
		case c < 0x20:
			return nil, s.broken("an escape such as \\n")
		case c < utf8.RuneSelf:
			s.at++
		default:
			r, size := utf8.DecodeRune(s.src[s.at:])
			if r == utf8.RuneError && size == 1 {
				return nil, s.broken("UTF-8")
			}
			s.at += size
		}
	}
	return nil, s.broken("a closing double quote")
}

func (s *scanner) escaped(start int) ([]byte, *fault) {
	s.buf = append(s.buf[:0], s.src[start:s.at]...)
	for s.at < len(s.src) {
		switch c := s.src[s.at]; {
		case c == '"':
			s.at++
			return s.buf, nil
		case c < 0x20:
			return nil, s.broken("an escape such as \\n")
		case c == '\\':
			s.at++
			if s.at >= len(s.src) {
				return nil, s.broken("an escape")
			}
			if c := s.src[s.at]; c == 'u' {
				r, f := s.unicode()
				if f != nil {
					return nil, f
				}
				s.buf = utf8.AppendRune(s.buf, r)
				continue
			}
			i := strings.IndexByte(`"\/bfnrt`, s.src[s.at])
			if i < 0 {
				return nil, s.broken("an escape")
			}
			s.buf = append(s.buf, "\"\\/\b\f\n\r\t"[i])
			s.at++
		default:
			r, size := utf8.DecodeRune(s.src[s.at:])
			if r == utf8.RuneError && size == 1 {
				return nil, s.broken("UTF-8")
			}
			s.buf = append(s.buf, s.src[s.at:s.at+size]...)
			s.at += size
		}
	}
	return nil, s.broken("a closing double quote")
}

// unicode reads \uXXXX from its u on, a pair of them where the first asks for a second.
func (s *scanner) unicode() (rune, *fault) {
	r, f := s.hex()
	if f != nil || !utf16.IsSurrogate(r) {
		return r, f
	}
	if s.word(`\u`) {
		s.at--
		low, f := s.hex()
		if f != nil {
			return 0, f
		}
		if both := utf16.DecodeRune(r, low); both != utf8.RuneError {
			return both, nil
		}
	}
	return 0, bare("not JSON: half a surrogate pair before byte %d", s.at+1)
}

func (s *scanner) hex() (rune, *fault) {
	s.at++ // the u
	var r rune
	for range 4 {
		if s.at >= len(s.src) {
			return 0, s.broken("a hexadecimal digit")
		}
		i := strings.IndexByte("0123456789abcdef", s.src[s.at]|0x20)
		if i < 0 || s.src[s.at] < '0' {
			return 0, s.broken("a hexadecimal digit")
		}
		r = r<<4 | rune(i)
		s.at++
	}
	return r, nil
}

// number reads a number and returns its text.
func (s *scanner) number() ([]byte, *fault) {
	start := s.at
	digits := func() bool {
		from := s.at
		for s.at < len(s.src) && s.src[s.at]-'0' <= 9 {
			s.at++
		}
		return s.at > from
	}
	if s.at < len(s.src) && s.src[s.at] == '-' {
		s.at++
	}
	if s.at < len(s.src) && s.src[s.at] == '0' {
		if s.at++; digits() {
			return nil, bare("not JSON: the number %s begins with a 0 it does not need", cut(string(s.src[start:s.at])))
		}
	} else if !digits() {
		return nil, s.broken("a digit")
	}
	if s.at < len(s.src) && s.src[s.at] == '.' {
		s.at++
		if !digits() {
			return nil, s.broken("a digit")
		}
	}
	if s.at < len(s.src) && s.src[s.at]|0x20 == 'e' {
		s.at++
		if s.at < len(s.src) && (s.src[s.at] == '+' || s.src[s.at] == '-') {
			s.at++
		}
		if !digits() {
			return nil, s.broken("a digit")
		}
	}
	return s.src[start:s.at], nil
}

// deepest is how far an unwanted value may nest before it is refused unread.
const deepest = 64

// skip passes over one value of any kind.
func (s *scanner) skip(depth int) *fault {
	if depth > deepest {
		return bare("not read: nested deeper than %d", deepest)
	}
	switch c := s.peek(); {
	case c == '"':
		_, f := s.string()
		return f
	case c == '-' || c-'0' <= 9:
		_, f := s.number()
		return f
	case c == '{' || c == '[':
		s.at++
		last := c + 2 // } and ] stand two places after { and [
		if s.take(last) {
			return nil
		}
		for {
			if c == '{' {
				if _, f := s.string(); f != nil {
					return f
				}
				if !s.take(':') {
					return s.broken("a colon")
				}
			}
			if f := s.skip(depth + 1); f != nil {
				return f
			}
			if s.take(last) {
				return nil
			}
			if !s.take(',') {
				return s.broken("a comma or " + string(rune(last)))
			}
		}
	case s.word("true") || s.word("false") || s.word("null"):
		return nil
	}
	return s.broken("a value")
}

// shown passes over one value and returns its text, cut short for a message.
func (s *scanner) shown() (string, *fault) {
	s.space()
	start := s.at
	if f := s.skip(0); f != nil {
		return "", f
	}
	return cut(string(s.src[start:s.at])), nil
}

func cut(text string) string {
	const longest = 60
	if len(text) <= longest {
		return text
	}
	end := longest
	for end > 0 && !utf8.RuneStart(text[end]) {
		end--
	}
	return text[:end] + "…"
}

// nearest returns the word of the list that the given one was probably meant to be, or nothing.
func nearest(word string, list []string) string {
	best, at := "", 3
	if len(word) > 64 {
		return ""
	}
	for _, w := range list {
		if d := distance(word, w); d < at && d < len(w) {
			best, at = w, d
		} else if best == "" && len(word) > 2 && strings.HasPrefix(w, word) {
			best = w
		}
	}
	return best
}

// distance counts the letters to change, add or drop between two words (Levenshtein's measure).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, diagonal+1, row[j]+1)
		}
	}
	return row[len(b)]
}
