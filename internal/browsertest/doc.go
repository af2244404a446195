// Package browsertest drives the real program with a real browser: a whole sitting at two widths in
// three lights, every pixel of red light, and the rules of accessibility on every page.
//
// It holds tests only. The program is built and run as a user runs it; nothing is served from within
// the tests. What is looked at is listed in pages_test.go, and a page that the rooms lead to and the
// list does not know fails.
//
// Without a chromium on the machine the tests are left out, which a line beginning "LEFT OUT" says.
// With PLATEWRIGHT_BROWSER=required they fail instead. PLATEWRIGHT_PICTURES=DIR writes pictures of
// the main pages into DIR.
package browsertest
