// Package archive keeps the studio's files on disk, each under the name of its own content.
//
// A file's name is the SHA-256 of its bytes in 64 small hexadecimal figures [FIPS180], and it lies
// at files/ab/cdef... below the studio's folder. The same content given twice is kept once, a file
// is never changed, and any file can be checked against its name at any time. A file is there
// whole or not at all: it is written under tmp, brought to the disk, and only then linked to its
// name; what a crash leaves under tmp is cleared away later.
//
// Names from outside are refused unless they have exactly that form, and every path is opened
// within the folder, so that neither a name nor a link leads out of it. [Lock] lets one program at
// a time serve a studio's folder. The package cannot mend a damaged file, but putting the same
// content again does.
package archive
