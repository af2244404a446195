package reckon_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"platewright/reckon"
)

func lookup(t testing.TB, name string) *reckon.Reckoning {
	t.Helper()
	r, ok := reckon.New().Lookup(name)
	if !ok {
		t.Fatalf("no reckoning %s", name)
	}
	return r
}

// Good and bad lines are answered in order, whatever their ends look like.
func TestLines(t *testing.T) {
	const good = `{"ev100":0,"exposure_index":100,"f_number":1}`
	in := "\xef\xbb\xbf" + good + "\r\n" + // a byte-order mark, a return
		"\n" + // empty
		"{\"ev100\":99}\n" +
		strings.Repeat(" ", 100_000) + good + "\n" + // longer than any buffer
		"{\"" + strings.Repeat("x", reckon.LongestLine) + "\n" + // too long
		strings.Repeat(" ", reckon.LongestLine-len(good)) + good + "\n" + // just not
		good // no end
	var out bytes.Buffer
	var bad []string
	failed, err := lookup(t, "seconds").Lines(strings.NewReader(in), &out, func(line int, err error) {
		bad = append(bad, fmt.Sprintf("%d: %v", line, err))
	})
	if err != nil || failed != 2 {
		t.Fatalf("failed %d, %v; want 2", failed, err)
	}
	wantBad := []string{
		"3: ev100 is 99; allowed is -8 to 17",
		"5: the line has 1048578 bytes; allowed is at most 1048576",
	}
	if strings.Join(bad, "\n") != strings.Join(wantBad, "\n") {
		t.Errorf("told\n%s\nwant\n%s", strings.Join(bad, "\n"), strings.Join(wantBad, "\n"))
	}
	starts := []string{`{"seconds":1,`, `{"error":{"field":"ev100",`, `{"seconds":1,`, `{"error":{"field":"",`, `{"seconds":1,`, `{"seconds":1,`}
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(lines) != len(starts) {
		t.Fatalf("%d answers, want %d", len(lines), len(starts))
	}
	for i, l := range lines {
		if !strings.HasPrefix(l, starts[i]) {
			t.Errorf("answer %d is %.60s, want %s", i+1, l, starts[i])
		}
	}
}

type failing struct{ after io.Reader }

func (f failing) Read(p []byte) (int, error) {
	n, err := f.after.Read(p)
	if err == io.EOF {
		err = errors.New("the cable is out")
	}
	return n, err
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("the disk is full") }

func TestLinesBrokenPipes(t *testing.T) {
	r := lookup(t, "seconds")
	ignore := func(int, error) {}
	if _, err := r.Lines(failing{strings.NewReader("{}\n{")}, io.Discard, ignore); err == nil || err.Error() != "line 2: the cable is out" {
		t.Errorf("a broken reader is told as %v", err)
	}
	if _, err := r.Lines(strings.NewReader("{}\n{}\n"), full{}, ignore); err == nil || err.Error() != "the disk is full" {
		t.Errorf("a broken writer is told as %v", err)
	}
}

// Whoever asks one question and waits gets its answer before asking the next.
func TestLinesAnswersAtOnce(t *testing.T) {
	in, ask := io.Pipe()
	answers, out := io.Pipe()
	done := make(chan error, 1)
	r := lookup(t, "seconds")
	go func() {
		_, err := r.Lines(in, out, func(int, error) {})
		out.Close()
		done <- err
	}()
	buf := make([]byte, 4096)
	for range 3 {
		if _, err := io.WriteString(ask, r.Example+"\n"); err != nil {
			t.Fatal(err)
		}
		n, err := answers.Read(buf)
		if err != nil || !bytes.HasPrefix(buf[:n], []byte(`{"seconds"`)) {
			t.Fatalf("answer %s, %v", buf[:n], err)
		}
	}
	ask.Close()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
}

// benchmarkBatch measures the whole way of a question on one core: read, decode, compute, encode.
func benchmarkBatch(b *testing.B, name string, questions ...string) {
	r := lookup(b, name)
	if len(questions) == 0 {
		q, _ := r.WorkedExample()
		questions = []string{string(q)}
	}
	var in strings.Builder
	for i := range b.N {
		in.WriteString(questions[i%len(questions)])
		in.WriteByte('\n')
	}
	b.ReportAllocs()
	b.ResetTimer()
	failed, err := r.Lines(strings.NewReader(in.String()), io.Discard, func(line int, err error) { b.Errorf("line %d: %v", line, err) })
	if err != nil || failed > 0 {
		b.Fatal(failed, err)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "questions/s")
}
