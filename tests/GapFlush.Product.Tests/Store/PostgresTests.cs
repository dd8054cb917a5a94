namespace GapFlush.Product.Tests.Store;

/// <summary>The classes that share one PostgreSQL server.</summary>
[CollectionDefinition(nameof(PostgresTests))]
public sealed class PostgresTests : ICollectionFixture<PostgresServer>;
