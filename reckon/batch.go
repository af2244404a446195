package reckon

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
)

// LongestLine is the greatest length of one question of a batch, in bytes.
const LongestLine = 1 << 20

// Lines answers a batch: one JSON object a line in, one a line out, in order. A bad question is told
// to bad with the number of its line, counted from 1, and has the object of [AppendError] in its
// place; the others are answered all the same. Empty lines are counted and passed over. Lines returns
// how many questions were bad, and an error only when reading or writing itself fails.
func (r *Reckoning) Lines(in io.Reader, out io.Writer, bad func(line int, err error)) (failed int, err error) {
	br := bufio.NewReaderSize(in, 64<<10)
	bw := bufio.NewWriterSize(out, 64<<10)
	defer func() {
		if e := bw.Flush(); err == nil {
			err = e
		}
	}()
	var long, answer []byte
	for number := 1; ; number++ {
		line, size, readErr := readLine(br, &long)
		if readErr != nil && readErr != io.EOF {
			return failed, fmt.Errorf("line %d: %w", number, readErr)
		}
		if number == 1 {
			line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf")) // a byte-order mark is no part of JSON
		}
		line = bytes.TrimSpace(line)
		if len(line) > 0 || size > LongestLine {
			var e error
			if size > LongestLine {
				e = &FieldError{Message: fmt.Sprintf("the line has %d bytes; allowed is at most %d", size, LongestLine)}
			} else {
				answer, e = r.AppendAnswer(answer[:0], line)
			}
			if e != nil {
				failed++
				bad(number, e)
				answer = AppendError(answer[:0], e)
			}
			if _, e := bw.Write(append(answer, '\n')); e != nil {
				return failed, e
			}
		}
		if readErr == io.EOF {
			return failed, nil
		}
		if br.Buffered() == 0 { // someone may be waiting for this answer before asking on
			if e := bw.Flush(); e != nil {
				return failed, e
			}
		}
	}
}

// readLine returns the next line without its end, and its size; of a line longer than [LongestLine]
// only the size. The line is good until the next call; long is room for lines beyond the buffer.
func readLine(br *bufio.Reader, long *[]byte) (line []byte, size int, err error) {
	line, err = br.ReadSlice('\n')
	if !errors.Is(err, bufio.ErrBufferFull) {
		line = bytes.TrimSuffix(line, []byte("\n"))
		return line, len(line), err
	}
	*long = (*long)[:0]
	for {
		size += len(line)
		if size <= LongestLine+1 {
			*long = append(*long, line...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			break
		}
		line, err = br.ReadSlice('\n')
	}
	if bytes.HasSuffix(line, []byte("\n")) {
		size--
	}
	if size > LongestLine {
		return nil, size, err
	}
	return bytes.TrimSuffix(*long, []byte("\n")), size, err
}
