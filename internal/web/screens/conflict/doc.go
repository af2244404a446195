// Package conflict is the screen shown when a record was changed by someone else while it was being
// edited: what differs, line by line, and a choice which to keep. Nothing has been written until
// the choice is sent; it is sent as the same form against the newer version.
package conflict

// Data is a record in two forms.
type Data struct {
	What   string // "sitting", "lens"
	Action string // where the form goes
	Back   string // where the record is shown as it stands
	Fields []Field
}

// Field is one line of the form in both forms, as it would be typed.
type Field struct {
	Name, Label   string
	Yours, Theirs string
	// Words show a value that is a code: "yes" as "retired". May be nil.
	Words map[string]string
}

func (f Field) differs() bool { return f.Yours != f.Theirs }

func (f Field) word(value string) string {
	if w, ok := f.Words[value]; ok {
		return w
	}
	if value == "" {
		return "nothing"
	}
	return value
}

// Differs tells whether there is anything to choose.
func (d Data) Differs() bool {
	for _, f := range d.Fields {
		if f.differs() && f.Label != "" {
			return true
		}
	}
	return false
}
