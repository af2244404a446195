// Package bench turns an unmarked barrel into a known lens: it fits what can be read on a studio's bench
// and says what follows for the lens, each figure with the interval it lies in nineteen times in twenty.
//
// A method is a struct: the readings and what one can read to. Its Measure method returns [Found]. The
// struct's tags are those of package reckon, whose reckoning "bench" asks the same structs.
//
// Model. Each reading is one equation between what was read and what is sought; all errors are Gaussian.
// What is read anew each time errs apart (…_sd_mm of a reading); what is common to all readings, such as
// the length of the rule, errs once for all. Least squares with the errors of all that was read, the
// common ones as observations of their own, weights following the solution.
//
// Stated error and scatter. The stated errors hold as long as the readings agree with them: as long as
// chi-square is below what chance exceeds once in twenty. Then the interval is ±1.96 sd. Otherwise the
// readings' errors are raised until chi-square is its expectation [Birge1932] and the interval is Student's
// t, with the degrees of freedom of the scatter, or more when common errors have a share [GUM2008, G.4.1]. The
// interval is never made narrower than the stated errors make it: an optimist is corrected, a pessimist is not.
//
// Disagreeing readings. None is dropped. A reading disagrees when its distance from what the others say
// is more than chance gives once in twenty to the worst of so many readings (Bonferroni). The distance is
// in terms of the stated errors if the others agree with those, else of the others' scatter, with t.
//
// Limits: the methods know principal planes, pupils and a focal surface with two terms; a focus drawn
// from one reading is as good as the eye that set it. An error shared by all readings and not stated
// cannot be seen in them.
//
// Symbols: f focal length, m image over object size, p exit over entrance pupil, N f-number, e extension or
// rail reading, h height on the glass, all lengths mm.
package bench
