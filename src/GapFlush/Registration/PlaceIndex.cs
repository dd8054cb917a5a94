namespace GapFlush.Registration;

/// <summary>Numbers places, given by whole numbers, in the order in which they come.</summary>
/// <remarks>A dictionary of tuples would do; but no dictionary over types of our own can be compiled ahead, and compiling one at the start of a command takes longer than all that is looked up in it.</remarks>
internal sealed class PlaceIndex
{
    // Three to a place.
    private int[] _at = new int[3 * 64];

    // Number and one, so that nought is a free slot; never more than half of them full.
    private int[] _slots = new int[256];

    /// <summary>Places so far.</summary>
    public int Count { get; private set; }

    /// <summary>The number of a place; a new one where it has none yet.</summary>
    public int Of(int a, int b, int c = 0)
    {
        int slot = Slot(a, b, c);
        if (_slots[slot] > 0) return _slots[slot] - 1;
        if (3 * Count == _at.Length) Array.Resize(ref _at, 2 * _at.Length);
        (_at[3 * Count], _at[3 * Count + 1], _at[3 * Count + 2]) = (a, b, c);
        _slots[slot] = ++Count;
        if (2 * Count > _slots.Length) Grow();
        return Count - 1;
    }

    /// <summary>The number of a place, or -1 where it has none.</summary>
    public int Find(int a, int b, int c = 0) => _slots[Slot(a, b, c)] - 1;

    /// <summary>All numbers, in the order of their places.</summary>
    public int[] InOrder()
    {
        int[] order = new int[Count];
        for (int i = 0; i < order.Length; i++) order[i] = i;
        Array.Sort(order, (i, k) =>
        {
            int by = _at[3 * i].CompareTo(_at[3 * k]);
            if (by == 0) by = _at[3 * i + 1].CompareTo(_at[3 * k + 1]);
            return by != 0 ? by : _at[3 * i + 2].CompareTo(_at[3 * k + 2]);
        });
        return order;
    }

    // Where a place stands, or would.
    private int Slot(int a, int b, int c)
    {
        uint hash = (uint)a * 0x9E3779B1 + (uint)b * 0x85EBCA77 + (uint)c * 0xC2B2AE3D;
        int slot = (int)((hash ^ hash >> 15) & (uint)(_slots.Length - 1));
        while (_slots[slot] is > 0 and int number && (_at[3 * number - 3] != a || _at[3 * number - 2] != b || _at[3 * number - 1] != c)) slot = (slot + 1) & (_slots.Length - 1);
        return slot;
    }

    private void Grow()
    {
        _slots = new int[2 * _slots.Length];
        for (int i = 0; i < Count; i++) _slots[Slot(_at[3 * i], _at[3 * i + 1], _at[3 * i + 2])] = i + 1;
    }
}
