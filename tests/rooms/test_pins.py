"""What the hash of a PIN costs whoever guesses; the other tests use a lighter one."""

from argon2 import Parameters, Type, extract_parameters

from inspect_app.rooms.people.pins import hasher  # taken before the tests put their own in its place


def test_a_pin_is_hashed_at_the_cost_the_rfc_recommends_for_a_small_machine():
    # RFC 9106, section 4, second recommended option (from memory): Argon2id, 3 passes, 4 lanes, 2^16 KiB, salt of 128 bits, tag of 256.
    asked = Parameters(
        type=Type.ID, version=0x13, time_cost=3, parallelism=4, memory_cost=2**16, salt_len=16, hash_len=32
    )

    assert extract_parameters(hasher().hash("1470")) == asked
