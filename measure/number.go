package measure

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longestText is the most characters a written quantity may have.
const longestText = 64

// vulgar holds the fractions that have a character of their own.
var vulgar = map[rune]float64{
	'½': 1. / 2, '⅓': 1. / 3, '⅔': 2. / 3, '¼': 1. / 4, '¾': 3. / 4,
	'⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8,
	'⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5, '⅙': 1. / 6, '⅚': 5. / 6, '⅒': 1. / 10,
}

// term is a number with the unit written after it, the unit in lower case and single-spaced.
type term struct {
	value float64
	unit  string
}

// tidy makes the spaces, dashes, slashes and quotation marks people paste into the plain ones,
// and the text lower case.
func (r reading) tidy() (string, error) {
	if !utf8.ValidString(r.text) {
		return "", r.refuse("it is not readable text")
	}
	if utf8.RuneCountInString(r.text) > longestText {
		return "", r.refuse("it is longer than %d characters", longestText)
	}
	var b strings.Builder
	for _, c := range r.text {
		switch {
		case c == '\t' || c == '\n' || c == '\r':
			b.WriteByte(' ')
		case unicode.IsSpace(c) || c == '\u200a' || c == '\u200b':
			b.WriteByte(' ')
		case unicode.IsControl(c):
			return "", r.refuse("it holds a control character")
		case c == '\u2044' || c == '\u2215':
			b.WriteByte('/')
		case c == '\u2212' || c == '\u2010' || c == '\u2011' || c == '\u2013':
			b.WriteByte('-')
		case c == '″' || c == '”' || c == '“':
			b.WriteByte('"')
		case c == '′' || c == '’':
			b.WriteByte('\'')
		default:
			b.WriteRune(unicode.ToLower(c))
		}
	}
	s := strings.Join(strings.Fields(b.String()), " ")
	s = strings.ReplaceAll(s, "''", `"`)
	if s == "" {
		return "", r.refuse("nothing was given")
	}
	return s, nil
}

// digits returns the length of the run of decimal digits s starts with.
func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

// number reads the number s starts with and returns the rest of s. It takes whole numbers,
// decimals with a point or a comma, fractions and mixed numbers; no signs and no exponents.
func (r reading) number(s string) (value float64, rest string, err error) {
	if c, w := utf8.DecodeRuneInString(s); vulgar[c] != 0 {
		return vulgar[c], s[w:], nil
	}
	n := digits(s)
	whole := s[:n]
	rest = s[n:]
	if n == 0 && !(len(s) > 1 && s[0] == '.' && digits(s[1:]) > 0) {
		return 0, "", r.refuse("a number is missing at %q", s)
	}
	if strings.HasPrefix(rest, "/") { // 1/2
		value, rest, err = r.fraction(s)
		return value, rest, err
	}
	if len(rest) > 1 && (rest[0] == '.' || rest[0] == ',') && digits(rest[1:]) > 0 { // 4.5 or 4,5
		m := digits(rest[1:])
		decimals := rest[1 : 1+m]
		if rest[0] == ',' && m == 3 && whole != "0" {
			return 0, "", r.refuse("%s,%s can be read two ways; write %s.%s or %s%s", whole, decimals, whole, decimals, whole, decimals)
		}
		value, err = strconv.ParseFloat("0"+whole+"."+decimals, 64)
		if err != nil {
			return 0, "", r.refuse("%s%c%s is not a number", whole, rest[0], decimals)
		}
		rest = rest[1+m:]
		if len(rest) > 1 && (rest[0] == '.' || rest[0] == ',') && digits(rest[1:]) > 0 {
			return 0, "", r.refuse("a number has one decimal point or comma")
		}
		return value, rest, nil
	}
	value, err = strconv.ParseFloat(whole, 64)
	if err != nil {
		return 0, "", r.refuse("%s is not a number", whole)
	}
	// 6½, 6 ½, 6 1/2 and 6-1/2
	part := strings.TrimLeft(rest, " ")
	if strings.HasPrefix(rest, "-") {
		part = rest[1:]
	}
	if c, w := utf8.DecodeRuneInString(part); vulgar[c] != 0 {
		return value + vulgar[c], part[w:], nil
	}
	if m := digits(part); m > 0 && part != rest && strings.HasPrefix(part[m:], "/") {
		f, after, err := r.fraction(part)
		if err != nil {
			return 0, "", err
		}
		if f >= 1 {
			return 0, "", r.refuse("the fraction in %s %s is not less than one", whole, strings.TrimSpace(part[:len(part)-len(after)]))
		}
		return value + f, after, nil
	}
	return value, rest, nil
}

// fraction reads digits/digits.
func (r reading) fraction(s string) (value float64, rest string, err error) {
	n := digits(s)
	m := digits(s[n+1:])
	if m == 0 {
		return 0, "", r.refuse("the fraction %q has no lower number", s)
	}
	top, err := strconv.ParseFloat(s[:n], 64)
	if err != nil {
		return 0, "", r.refuse("%s is not a number", s[:n])
	}
	below, err := strconv.ParseFloat(s[n+1:n+1+m], 64)
	if err != nil {
		return 0, "", r.refuse("%s is not a number", s[n+1:n+1+m])
	}
	if below == 0 {
		return 0, "", r.refuse("a fraction cannot have 0 below the line")
	}
	return top / below, s[n+1+m:], nil
}

// terms splits a tidied text into numbers and their units.
func (r reading) terms(s string) ([]term, error) {
	var all []term
	for s != "" {
		v, rest, err := r.number(s)
		if err != nil {
			return nil, err
		}
		end := strings.IndexFunc(rest, func(c rune) bool { return c >= '0' && c <= '9' || vulgar[c] != 0 })
		if end < 0 {
			end = len(rest)
		}
		unit := unitName(rest[:end])
		if power := strings.TrimRight(unit, "+-"); end < len(rest) && (power == "e") {
			return nil, r.refuse("a power of ten is not read, and a great one is more than can be measured; write it out in figures")
		}
		all = append(all, term{v, unit})
		s = rest[end:]
	}
	return all, nil
}

// unitName takes the full stops of abbreviations and needless spaces out of a unit.
func unitName(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, ".", " ")), " ")
}

// signed takes a leading sign off a tidied text.
func signed(s string) (sign float64, rest string) {
	if after, ok := strings.CutPrefix(s, "-"); ok {
		return -1, strings.TrimSpace(after)
	}
	return 1, strings.TrimSpace(strings.TrimPrefix(s, "+"))
}

// sum adds terms whose units must shrink from left to right, as in 3 ft 2 in. A unit of "" means
// bare and may only stand alone. The unit of one is the result's.
func (r reading) sum(all []term, unit func(name string) (float64, error)) (float64, error) {
	total, last := 0.0, math.Inf(1)
	for _, t := range all {
		if t.unit == "" && len(all) > 1 {
			return 0, r.refuse("%s has no unit", figure(t.value, 6))
		}
		u, err := unit(t.unit)
		if err != nil {
			return 0, err
		}
		if u >= last {
			return 0, r.refuse("put the larger unit first and each unit once")
		}
		total, last = total+t.value*u, u
	}
	return total, nil
}

// figure writes v with at most digits significant digits and no exponent. What is nearer to
// nought than a thousand-millionth is written 0.
func figure(v float64, digits int) string {
	if math.Abs(v) < 1e-9 {
		return "0"
	}
	return strconv.FormatFloat(rounded(v, digits), 'f', -1, 64)
}

// rounded returns v to so many significant digits.
func rounded(v float64, digits int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		return v // out of the range of float64 by the rounding: keep it as it is
	}
	return r
}

// fixed writes v with at most so many decimals, none of them a trailing nought.
func fixed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
