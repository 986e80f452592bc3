package product

// Production is production.toml: what one costs to make and to sell.
type Production struct {
	Leaf
	BOM       Map[BOMLine]  `key:"bom"`
	Steps     Map[Step]     `key:"step"`
	Overheads Map[Overhead] `key:"overhead"`
	Channels  Map[Channel]  `key:"channel"`
	Carriage  Map[Carriage] `key:"carriage"`
	Taxes     Map[Tax]      `key:"tax"`
	Quotes    Map[Quote]    `key:"quote"`
	Work      Work          `key:"work"`
	Test      Test          `key:"test"`
	Rates     Map[Quantity] `key:"rates" is:"rate of money" in:"> 0"`
}

// BOMLine is [bom.NAME]: something that is bought.
type BOMLine struct {
	Leaf
	Part         Name     `key:"part" to:"part"`
	What         Text     `key:"what"`
	Each         Quantity `key:"each" is:"count" in:"> 0"`
	Prices       Prices   `key:"prices"`
	MinimumOrder Count    `key:"minimum_order" in:">= 1"`
	Pack         Count    `key:"pack" in:">= 1"`
	Attrition    Quantity `key:"attrition" is:"ratio" in:">= 0, < 100 %"`
}

// Step is [step.NAME]: one step of making a unit.
type Step struct {
	Leaf
	What          Text       `key:"what"`
	Minutes       Quantity   `key:"minutes" is:"time" in:">= 0"`
	Setup         Quantity   `key:"setup" is:"time" in:">= 0"`
	Allowance     Quantity   `key:"allowance" is:"ratio" in:">= 0"`
	Yield         Quantity   `key:"yield" is:"ratio" in:"> 0, <= 100 %"`
	Rework        Quantity   `key:"rework" is:"time" in:">= 0"`
	ReworkSuccess Quantity   `key:"rework_success" is:"ratio" in:">= 0, <= 100 %"`
	After         List[Name] `key:"after" to:"step"`
	ScrapCost     Quantity   `key:"scrap_cost" is:"sum of money" in:">= 0"`
}

// Overhead is [overhead.NAME].
type Overhead struct {
	Leaf
	Amount Quantity `key:"amount" is:"sum of money" in:">= 0"`
	Per    Word     `key:"per" one:"unit batch month year once"`
}

// Channel is [channel.NAME]: a way in which units are sold.
type Channel struct {
	Leaf
	Fee   Quantity `key:"fee" is:"ratio" in:">= 0, < 100 %"`
	Fixed Quantity `key:"fixed" is:"sum of money" in:">= 0"`
	Share Quantity `key:"share" is:"ratio" in:">= 0, <= 100 %"`
}

// Carriage is [carriage.NAME]: what sending one costs.
type Carriage struct {
	Leaf
	Amount  Quantity `key:"amount" is:"sum of money" in:">= 0"`
	Packing Quantity `key:"packing" is:"sum of money" in:">= 0"`
}

// Tax is [tax.NAME].
type Tax struct {
	Leaf
	Rate Quantity `key:"rate" is:"ratio" in:">= 0, < 100 %"`
	On   Word     `key:"on" one:"price profit"`
}

// Quote is [quote.NAME]: what somebody else would ask for some of the steps.
type Quote struct {
	Leaf
	What         Text       `key:"what"`
	Setup        Quantity   `key:"setup" is:"sum of money" in:">= 0"`
	Each         Quantity   `key:"each" is:"sum of money" in:">= 0"`
	MinimumOrder Count      `key:"minimum_order" in:">= 1"`
	Replaces     List[Name] `key:"replaces" to:"step"`
}

// Work is [work].
type Work struct {
	Leaf
	Hour            Quantity `key:"hour" is:"sum of money per time" in:">= 0"`
	Week            Quantity `key:"week" is:"time" in:"> 0, <= 168 h"`
	Batch           Quantity `key:"batch" is:"count" in:">= 1"`
	Price           Quantity `key:"price" is:"sum of money" in:">= 0"`
	Learning        Quantity `key:"learning" is:"ratio" in:"> 0, <= 1"`
	MarketPrice     Quantity `key:"market_price" is:"sum of money" in:">= 0"`
	Design          Quantity `key:"design" is:"time" in:">= 0"`
	FaultUnreported Quantity `key:"fault_unreported" is:"ratio" in:">= 0, < 100 %"`
}

// Test is [test]: how each unit is tested before it goes out.
type Test struct {
	Leaf
	Meter         Name     `key:"meter" to:"meter"`
	Step          Name     `key:"step" to:"step"`
	Ambient       Quantity `key:"ambient" is:"temperature" in:">= -100 °C, <= 200 °C"`
	ChargeCurrent Quantity `key:"charge_current" is:"current" in:">= 0, <= 1e6 A"`
	LoadCurrent   Quantity `key:"load_current" is:"current" in:">= 0, <= 1e6 A"`
	BadSent       Quantity `key:"bad_sent" is:"sum of money" in:"> 0"`
	GoodRejected  Quantity `key:"good_rejected" is:"sum of money" in:"> 0"`
}
