package reckon

import (
	"errors"

	"platewright/optics/bench"
)

type benchQuestion struct {
	Method benchMethod `json:"method" doc:"how it was measured, with the readings"`
}

// benchMethod is one of the methods of package bench, which are asked as they are.
type benchMethod struct {
	Kinds
	TwoMagnifications *bench.TwoMagnifications `kind:"two magnifications" doc:"focal length from the extension at different magnifications"`
	FarTarget         *bench.FarTarget         `kind:"far target" doc:"focal length from the mark of infinity, or by turning the camera"`
	KnownObject       *bench.KnownObject       `kind:"known object" doc:"focal length from a rule at a known distance"`
	NodalPoint        *bench.NodalPoint        `kind:"nodal point" doc:"focal length by turning the lens until the image rests"`
	EntrancePupil     *bench.EntrancePupil     `kind:"entrance pupil" doc:"pupil from the front, and the f-number"`
	Stops             *bench.StopHoles         `kind:"stops" doc:"f-numbers of holes, and holes for f-numbers"`
	PupilSides        *bench.PupilSides        `kind:"pupil magnification" doc:"the same stop from both sides"`
	Curvature         *bench.FieldCurve        `kind:"curvature" doc:"focal surface from best focus at several heights"`
	Coverage          *bench.GoodCircle        `kind:"coverage" doc:"cone of good definition and of light at a stop"`
	FocusShift        *bench.ShiftOnStopping   `kind:"focus shift" doc:"best focus at each stop"`
	ChemicalFocus     *bench.StepPlate         `kind:"chemical focus" doc:"focus of the plate against that of the eye"`
}

type benchAnswer struct {
	bench.Found
}

// benchReckoning asks what a bench's readings say of a lens. Scatter and stated errors are put together
// as in package bench [Birge1932; GUM2008].
func benchReckoning() *Reckoning {
	return define(Spec{
		Name:    "bench",
		Title:   "what readings on the bench say of a lens",
		Summary: "From readings taken with a rule, a rail and a torch to focal length, pupils, f-numbers, focal surface, coverage and focus, each with its interval.",
		Model: "Least squares with the errors of all that was read; the interval of each figure holds the truth nineteen times in twenty if the stated errors are right or the readings show that they are not. " +
			"As long as the readings agree with the stated errors these count; when they scatter more than chance does once in twenty, the scatter counts, with Student's t. " +
			"A reading that disagrees with the others is flagged in readings and stays in the fit; none is left out. Every _sd_ is a standard deviation: about a third of the readings err by more. " +
			"An error common to all readings that nobody stated cannot be seen in them.",
		Sources: []string{"Conj1995", "PupilDof04", "Birge1932", "GUM2008", "UniformSystem81", "PlateNotes2026"},
		Example: `{"method": {"kind": "two magnifications", "extension_sd_mm": 0.3, "readings": [` +
			`{"extension_mm": 502.4, "image_mm": 20.1, "object_mm": 200}, {"extension_mm": 569.7, "image_mm": 50.0, "object_mm": 200}, {"extension_mm": 682.3, "image_mm": 100.1, "object_mm": 200}]}}`,
	}, answerBench)
}

func answerBench(q benchQuestion) (benchAnswer, error) {
	f, err := q.Method.measure()
	var at *bench.FieldError
	if errors.As(err, &at) {
		return benchAnswer{}, &FieldError{Field: "method." + at.Field, Message: "method." + at.Error(), cause: err}
	}
	return benchAnswer{f}, err
}

// measure asks the method that was chosen.
func (m benchMethod) measure() (bench.Found, error) {
	switch {
	case m.TwoMagnifications != nil:
		return m.TwoMagnifications.Measure()
	case m.FarTarget != nil:
		return m.FarTarget.Measure()
	case m.KnownObject != nil:
		return m.KnownObject.Measure()
	case m.NodalPoint != nil:
		return m.NodalPoint.Measure()
	case m.EntrancePupil != nil:
		return m.EntrancePupil.Measure()
	case m.Stops != nil:
		return m.Stops.Measure()
	case m.PupilSides != nil:
		return m.PupilSides.Measure()
	case m.Curvature != nil:
		return m.Curvature.Measure()
	case m.Coverage != nil:
		return m.Coverage.Measure()
	case m.FocusShift != nil:
		return m.FocusShift.Measure()
	}
	return m.ChemicalFocus.Measure()
}
