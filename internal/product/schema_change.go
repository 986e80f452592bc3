package product

// Effect is [effect] of a variant or a change: what it does that its parts and steps do not say. Money and minutes with fit are for each
// unit that was built already.
type Effect struct {
	Leaf
	Removes    Map[Removal] `key:"removes"`
	Tooling    Quantity     `key:"tooling" is:"sum of money" in:">= 0"`
	Hours      Quantity     `key:"hours" is:"time" in:">= 0"`
	FitsBuilt  Flag         `key:"fits_built"`
	FitCost    Quantity     `key:"fit_cost" is:"sum of money" in:">= 0"`
	FitMinutes Quantity     `key:"fit_minutes" is:"time" in:">= 0"`
}

// Removal is [effect.removes.NAME]: the share of the returns for a reason that do not come with it.
type Removal struct {
	Leaf
	Reason Text     `key:"reason"`
	Share  Quantity `key:"share" is:"ratio" in:">= 0, <= 100 %"`
}

// changesDocument is changes.toml.
type changesDocument struct {
	Leaf
	Changes Map[SingleChange] `key:"change"`
}

// SingleChange is [change.NAME]: a single change that is allowed.
type SingleChange struct {
	Leaf
	Why    Text       `key:"why"`
	Effect Effect     `key:"effect"`
	Remove List[Text] `key:"remove"`
	Set    Layer      `key:"set"`
	Add    Layer      `key:"add"`
}
