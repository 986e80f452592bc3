package product

// Promise is [promise.NAME]: a sentence of the label or the leaflet with its bound.
type Promise struct {
	Leaf
	Label      Text       `key:"label"`
	Printed    Word       `key:"printed" one:"label leaflet"`
	Study      Text       `key:"study"`
	Quantity   Text       `key:"quantity"`
	Conditions Conditions `key:"conditions"`
	Within     Quantity   `key:"within" is:"any range"`
	Min        Quantity   `key:"min" is:"any value"`
	Max        Quantity   `key:"max" is:"any value"`
	Ends       Ends       `key:"ends"`
	For        Word       `key:"for" one:"each unit|the mean"`
	Proportion Quantity   `key:"proportion" is:"ratio" in:"> 0, < 100 %"`
	Confidence Quantity   `key:"confidence" is:"ratio" in:"> 0, < 100 %"`
	Safety     Flag       `key:"safety"`
}

// Conditions are those that a promise names.
type Conditions struct {
	Leaf
	Ambient       Quantity `key:"ambient" is:"temperature" in:">= -100 °C, <= 200 °C"`
	ChargeCurrent Quantity `key:"charge_current" is:"current" in:">= 0"`
	LoadCurrent   Quantity `key:"load_current" is:"current" in:">= 0"`
	Current       Quantity `key:"current" is:"current" in:">= 0"`
	Voltage       Quantity `key:"voltage" is:"voltage"`
	Age           Quantity `key:"age" is:"time" in:">= 0"`
	Batch         Quantity `key:"batch" is:"count" in:">= 1"`
	BatchName     Text     `key:"batch_name"`
	Installation  Name     `key:"installation" to:"installation"`
	Mistake       Text     `key:"mistake"`
	State         Text     `key:"state"`
	Mounted       Word     `key:"mounted" one:"free wood metal"`
}
