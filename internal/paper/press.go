package paper

import (
	"fmt"
	"io"

	"github.com/carlos7ags/folio/document"
)

// margin is how far the frame stands from the edge of the sheet.
const margin = 12 * mm

// press makes one document of one size of sheet.
type press struct {
	doc   *document.Document
	faces faces
	size  point
}

// newPress begins a document as PDF/A-2u.
func newPress(sheet Sheet, info document.Info) (*press, error) {
	size := document.PageSizeA4
	if sheet == Letter {
		size = document.PageSizeLetter
	}
	doc := document.NewDocument(size)
	info.Creator, info.Producer, info.Language = "Platewright", "Platewright", "en"
	doc.Info = info
	doc.SetPdfA(document.PdfAConfig{Level: document.PdfA2U})
	fs, err := loadFaces()
	if err != nil {
		return nil, err
	}
	return &press{doc: doc, faces: fs, size: point{size.Width, size.Height}}, nil
}

// page adds a sheet and returns the pen that draws on it.
func (m *press) page() *pen {
	page := m.doc.AddPage()
	page.AddLine(0, 0, 0, 0, 0, [3]float64{}) // opens the page's stream
	return &pen{faces: m.faces, page: page, s: page.ContentStream(), hairline: 0.25}
}

// write ends the document; the same pages give the same bytes. what names it in an error.
func (m *press) write(w io.Writer, what string) error {
	if err := m.doc.ValidatePdfA(); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	if _, err := m.doc.WriteToWithOptions(w, document.WriteOptions{Deterministic: true}); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}
