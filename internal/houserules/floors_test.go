package houserules

// THE FLOORS. This table is policy. It says what the design is, not what the code happens to do:
// do not edit it to make a build pass. A new row or a new sideways edge needs a record in
// docs/decisions. Packages may be listed before they exist.
//
// A package imports packages of lower floors, and of its own floor only those named in sideways.
// A row ending in /* stands for every package directly below it.

type place struct {
	floor    int
	sideways []string // our packages on the same floor it may import
}

// onlyTests marks packages that hold tests or serve tests: nothing but tests imports them, and they
// import what they test.
const onlyTests = -1

var floors = map[string]place{
	"measure": {floor: 0},

	"optics":       {floor: 1},
	"optics/trace": {floor: 1, sideways: []string{"optics"}},
	"optics/bench": {floor: 1, sideways: []string{"optics"}},
	"light":        {floor: 1},
	"light/sky":    {floor: 1, sideways: []string{"light"}},
	"light/flash":  {floor: 1, sideways: []string{"light"}},
	"collodion":    {floor: 1, sideways: []string{"light"}},
	"colour":       {floor: 1, sideways: []string{"light", "collodion"}},
	"chemistry":    {floor: 1},
	"air":          {floor: 1},
	"pose":         {floor: 1},
	"learning":     {floor: 1},
	"copying":      {floor: 1, sideways: []string{"optics"}},
	"picture":      {floor: 1},

	"study":           {floor: 2},
	"study/look":      {floor: 2},
	"scene":           {floor: 2},
	"reckon":          {floor: 2, sideways: []string{"study", "study/look", "scene"}},
	"internal/studio": {floor: 2},

	"internal/store":         {floor: 3},
	"internal/archive":       {floor: 3},
	"internal/paper":         {floor: 3},
	"internal/work":          {floor: 3},
	"internal/web":           {floor: 3, sideways: []string{"internal/web/shared", "internal/web/screens/*"}},
	"internal/web/shared":    {floor: 3},
	"internal/web/screens/*": {floor: 3, sideways: []string{"internal/web/shared"}},
	"internal/cli":           {floor: 3},
	"internal/demo":          {floor: 3},

	"cmd/platewright": {floor: 4},

	"internal/houserules":        {floor: onlyTests},
	"internal/browsertest":       {floor: onlyTests},
	"internal/studio/studiotest": {floor: onlyTests},
}

// highestPure is the highest floor on which the same question always has the same answer.
const highestPure = 2

// barredBelow lists the standard packages the pure floors do not import; a name ending in / bars
// everything below it as well. Clock, file, network, log, chance and global state come from above.
var barredBelow = []string{
	"os", "os/", "net", "net/", "database/", "log", "log/", "syscall", "io/ioutil", "html/template", "text/template",
	"sync", "sync/", "crypto/rand", "flag", "plugin", "unsafe", "testing", "runtime", "runtime/", "expvar",
}

// barredCalls lists what the pure floors do not use of packages they may import.
var barredCalls = map[string][]string{
	"time":         {"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Local", "LoadLocation"},
	"fmt":          {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
	"math/rand":    {"Int", "Intn", "Int31", "Int31n", "Int63", "Int63n", "Float32", "Float64", "NormFloat64", "ExpFloat64", "Perm", "Shuffle", "Seed", "Read"},
	"math/rand/v2": {"Int", "IntN", "Int32", "Int32N", "Int64", "Int64N", "Uint32", "Uint64", "N", "Float32", "Float64", "NormFloat64", "ExpFloat64", "Perm", "Shuffle"},
}

// foreignBelow lists the modules of others that the pure floors may import.
var foreignBelow = []string{"gonum.org/v1/gonum", "golang.org/x/image", "golang.org/x/text", "github.com/go-json-experiment/json"}

// sqliteDriver is the one SQLite driver: the others number parameters, encode times and search
// text in ways of their own.
const sqliteDriver = "modernc.org/sqlite"
