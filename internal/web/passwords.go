package web

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/crypto/argon2"
)

// The cost of a password: argon2id, 2 passes over 19 MiB, one lane. It takes a
// small machine some 60 ms and gives a thief's graphics card little to share.
const (
	argonTime   = 2
	argonMemory = 19 * 1024 // KiB
	argonLanes  = 1
	saltBytes   = 16
	keyBytes    = 32
)

// The least and most letters of a password.
const (
	PasswordLeast = 10
	PasswordMost  = 256
)

// HashPassword returns what is kept of a password: a PHC string of argon2id
// ($argon2id$v=19$m=...,t=...,p=...$salt$key). It refuses a password that is
// too short or too long.
func HashPassword(password string) (string, error) {
	if n := len([]rune(password)); n < PasswordLeast || n > PasswordMost {
		letters := "letters"
		if n == 1 {
			letters = "letter"
		}
		return "", fmt.Errorf("password: %d %s, allowed are %d to %d", n, letters, PasswordLeast, PasswordMost)
	}
	salt := make([]byte, saltBytes)
	if _, err := rand.Read(salt); err != nil {
		return "", fmt.Errorf("password salt: %w", err)
	}
	key := argon2.IDKey([]byte(password), salt, argonTime, argonMemory, argonLanes, keyBytes)
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, argonMemory, argonTime, argonLanes,
		base64.RawStdEncoding.EncodeToString(salt), base64.RawStdEncoding.EncodeToString(key)), nil
}

// CheckPassword tells whether a password is the one kept. The comparison takes
// the same time wherever the two differ. An error means that what is kept
// cannot be read.
func CheckPassword(kept, password string) (bool, error) {
	h, err := parsePHC(kept)
	if err != nil {
		return false, err
	}
	key := argon2.IDKey([]byte(password), h.salt, h.time, h.memory, h.lanes, uint32(len(h.key)))
	return subtle.ConstantTimeCompare(key, h.key) == 1, nil
}

type phc struct {
	time, memory uint32
	lanes        uint8
	salt, key    []byte
}

// parsePHC reads the string [HashPassword] writes, within bounds that keep a
// damaged one from taking the machine's memory.
func parsePHC(text string) (phc, error) {
	bad := func(why string) (phc, error) { return phc{}, fmt.Errorf("kept password: %s", why) }
	parts := strings.Split(text, "$")
	if len(parts) != 6 || parts[0] != "" || parts[1] != "argon2id" {
		return bad("not an argon2id string")
	}
	if parts[2] != "v="+strconv.Itoa(argon2.Version) {
		return bad("version " + parts[2] + " is not " + strconv.Itoa(argon2.Version))
	}
	var h phc
	costs := strings.Split(parts[3], ",")
	if len(costs) != 3 {
		return bad("costs " + parts[3])
	}
	for i, want := range []struct {
		name string
		most uint64
		set  func(uint64)
	}{
		{"m=", 1 << 18, func(v uint64) { h.memory = uint32(v) }},
		{"t=", 16, func(v uint64) { h.time = uint32(v) }},
		{"p=", 16, func(v uint64) { h.lanes = uint8(v) }},
	} {
		digits, named := strings.CutPrefix(costs[i], want.name)
		v, err := strconv.ParseUint(digits, 10, 32)
		if !named || err != nil || v < 1 || v > want.most {
			return bad("cost " + costs[i])
		}
		want.set(v)
	}
	var err error
	if h.salt, err = base64.RawStdEncoding.DecodeString(parts[4]); err != nil || len(h.salt) < 8 || len(h.salt) > 64 {
		return bad("salt")
	}
	if h.key, err = base64.RawStdEncoding.DecodeString(parts[5]); err != nil || len(h.key) < 16 || len(h.key) > 64 {
		return bad("key")
	}
	return h, nil
}
