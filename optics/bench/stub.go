package bench

import "errors"

var errNotYet = errors.New("not yet")

// Measure reckons.
func (q TwoMagnifications) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q FarTarget) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q KnownObject) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q NodalPoint) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q EntrancePupil) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q StopHoles) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q PupilSides) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q FieldCurve) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q GoodCircle) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q ShiftOnStopping) Measure() (Found, error) { return Found{}, errNotYet }

// Measure reckons.
func (q StepPlate) Measure() (Found, error) { return Found{}, errNotYet }
