package web_test

import (
	"strings"
	"testing"

	"platewright/internal/web"
)

func TestPassword(t *testing.T) {
	kept, err := web.HashPassword(password)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(kept, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Errorf("kept as %s", kept)
	}
	again, err := web.HashPassword(password)
	if err != nil || again == kept {
		t.Errorf("the same password is kept the same way twice (%v)", err)
	}
	for given, want := range map[string]bool{password: true, password + " ": false, "": false} {
		if got, err := web.CheckPassword(kept, given); err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", given, got, err, want)
		}
	}
	for _, refused := range []string{"", "short", strings.Repeat("a", web.PasswordMost+1)} {
		if _, err := web.HashPassword(refused); err == nil {
			t.Errorf("%d letters taken", len(refused))
		}
	}
}

// published: test vectors of the reference implementation of Argon2, version
// 19 [Argon2Ref2015], type id, one lane: password "password", salt "somesalt". The vectors are
// from memory; a wrong digit in any would fail here.
func TestArgonVectors(t *testing.T) {
	for _, kept := range []string{
		"$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc",
		"$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=19$m=65536,t=1,p=1$c29tZXNhbHQ$9qWtwbpyPd3vm1rB1GThgPzZ3/ydHL92zKL+15XZypg",
	} {
		if ok, err := web.CheckPassword(kept, "password"); err != nil || !ok {
			t.Errorf("%s: %v, %v; want it to fit [Argon2Ref2015]", kept, ok, err)
		}
		if ok, err := web.CheckPassword(kept, "differentpassword"); err != nil || ok {
			t.Errorf("%s: another password fits", kept)
		}
	}
}

func TestDamagedPassword(t *testing.T) {
	for _, kept := range []string{
		"", "plain", "$argon2i$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=16$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=19$m=4194304,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=19$m=256,t=0,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
		"$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$short", "$argon2id$v=19$m=256,t=2,p=1$!$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4",
	} {
		if ok, err := web.CheckPassword(kept, "password"); err == nil || ok {
			t.Errorf("%q is read as a kept password", kept)
		}
	}
}
