package store_test

import (
	"math"
	"reflect"
)

func nan() float64 { return math.NaN() }

// zeroFields returns the paths of r's fields that hold their zero value.
func zeroFields(r any) []string {
	var empty []string
	var walk func(v reflect.Value, path string)
	walk = func(v reflect.Value, path string) {
		switch {
		case v.IsZero():
			empty = append(empty, path)
		case v.Kind() == reflect.Struct && v.Type().PkgPath() != "time":
			for i := range v.NumField() {
				walk(v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		case v.Kind() == reflect.Slice:
			walk(v.Index(0), path+"[0]")
		}
	}
	v := reflect.ValueOf(r)
	for i := range v.NumField() {
		walk(v.Field(i), v.Type().Field(i).Name)
	}
	return empty
}
