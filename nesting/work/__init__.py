"""What happens to a plan after it is made: work is recorded, and what is left is planned again.

A *record* lies beside plan.json and is only added to; each command is an *entry*. An *item* is one stick or sheet with
its number in the saw list or sheet list. How work *stands* follows from the plan and its entries; *remains* is the
material that is then there, and `replan` makes a job of what is left.
"""
